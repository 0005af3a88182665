import { describe, expect, it } from 'vitest';
import { fill } from '../../lib/hours/fill.ts';
import { planNights, type TargetState } from '../../lib/hours/plan/nights.ts';
import { parsePlan } from '../../lib/hours/plan/parse.ts';
import { planCsv } from '../../lib/hours/plan/plan.ts';
import type { LinewashError } from '../../lib/plane/errors.ts';

const target = (name: string, strengths: readonly number[], more: Partial<TargetState> = {}): TargetState => ({
  name,
  lines: strengths.map((strength, i) => ({ name: 'SHO'[i]!, spent: 2 + i, strength })),
  weight: 1,
  open: () => true,
  ...more,
});
const nights = (...hours: number[]) => hours.map((dark, i) => ({ date: `2026-01-0${i + 1}`, dark }));
const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);
const varianceOf = ({ lines }: TargetState, added: readonly number[]) =>
  sum(lines.map(({ strength, spent }, i) => strength ** 2 / (spent + added[i]!)));
const relative = (targets: readonly TargetState[], added: readonly (readonly number[])[]) =>
  sum(
    targets.map(
      (t, i) =>
        (t.weight * varianceOf(t, added[i]!)) /
        varianceOf(
          t,
          t.lines.map(() => 0),
        ),
    ),
  );

describe('nights', () => {
  const targets = [target('A', [1, 0.5, 2]), target('B', [20, 30, 5]), target('C', [0.01, 0.01, 0.04])];

  it('are split as if they were one, where nothing ties hours to a night', () => {
    const { added, nights: planned } = planNights(targets, nights(4, 6, 5));
    const whole = planNights(targets, nights(15)).added;
    for (const [t, hours] of added.entries())
      for (const [i, h] of hours.entries()) expect(h).toBeCloseTo(whole[t]![i]!, 9);
    expect(planned.map(({ used }) => Math.round(used * 1e9) / 1e9)).toEqual([4, 6, 5]);
  });

  it('lower the targets’ relative variances together as far as any exchange can', () => {
    const { added } = planNights(targets, nights(15));
    const least = relative(targets, added);
    const flat = added.flat();
    for (const i of flat.keys())
      for (const j of flat.keys()) {
        if (i === j || flat[i]! < 0.05) continue;
        const moved = flat.with(i, flat[i]! - 0.05);
        moved[j] = moved[j]! + 0.05;
        expect(relative(targets, [moved.slice(0, 3), moved.slice(3, 6), moved.slice(6, 9)])).toBeGreaterThan(least);
      }
  });

  it('do not depend on a target’s unit, but on its weight', () => {
    const scaled = [targets[0]!, target('B', [20e3, 30e3, 5e3]), targets[2]!];
    const hours = (some: readonly TargetState[]) => planNights(some, nights(15)).added.map(sum);
    for (const [t, h] of hours(scaled).entries()) expect(h).toBeCloseTo(hours(targets)[t]!, 9);
    const heavy = [{ ...targets[0]!, weight: 4 }, targets[1]!, targets[2]!];
    expect(hours(heavy)[0]).toBeGreaterThan(hours(targets)[0]! + 1);
  });

  it('keep to dates and to the hours that a target is up', () => {
    const some = [target('A', [1, 1, 1], { up: 2 }), target('B', [1, 1, 1], { open: (date) => date === '2026-01-02' })];
    const { nights: planned } = planNights(some, nights(5, 5), 0.1);
    const clock = (n: number, name: string) =>
      sum(planned[n]!.blocks.filter((b) => b.target === name).map((b) => b.clock));
    expect(clock(0, 'B')).toBe(0);
    expect(clock(0, 'A')).toBeCloseTo(2, 9);
    expect(clock(1, 'A')).toBeLessThanOrEqual(2 + 1e-9);
    expect(clock(1, 'B')).toBeGreaterThan(2);
    expect(planned[1]!.used).toBeCloseTo(5, 9);
  });

  it('stop at a target’s goal and give the rest to others, in whole subs', () => {
    const subs = (t: TargetState): TargetState => ({ ...t, lines: t.lines.map((line) => ({ ...line, sub: 300 })) });
    const first = subs(target('A', [1, 1, 1]));
    const goal = 0.9 * varianceOf(first, [0, 0, 0]);
    const { added, nights: planned } = planNights(
      [{ ...first, enough: goal }, subs(target('B', [1, 2, 1]))],
      nights(6),
    );
    expect(varianceOf(first, added[0]!)).toBeLessThanOrEqual(goal);
    const fewer = added[0]!.map((h) => Math.max(0, h - 300 / 3600));
    expect(varianceOf(first, fewer)).toBeGreaterThan(goal);
    expect(sum(added[1]!)).toBeCloseTo(6 - sum(added[0]!), 9);
    for (const { subs: n, hours } of planned[0]!.blocks) expect(n! / 12).toBeCloseTo(hours, 9);
  });

  it('hold lines to their caps over all nights', () => {
    const capped = { ...targets[0]!, lines: targets[0]!.lines.map((line) => ({ ...line, room: 1 })) };
    const { added } = planNights([capped], nights(2, 2, 2));
    expect(added[0]!.map((h) => Math.round(h * 1e9) / 1e9)).toEqual([1, 1, 1]);
    expect(fill(capped.lines, 6).map((t, i) => t - capped.lines[i]!.spent)).toEqual([1, 1, 1]);
  });
});

const PLAN = {
  linewash: 1,
  nights: [{ date: '2026-01-10', dark: '6h' }],
  targets: [{ name: 'Emberwing', masters: { H: 'h.fits', O: 'o.fits' }, recipe: 'hoo', sub: { H: '300s' } }],
};

describe('a plan', () => {
  const faults = (change: (plan: typeof PLAN & Record<string, unknown>) => void): string[] => {
    const plan = structuredClone(PLAN);
    change(plan as never);
    try {
      parsePlan(JSON.stringify(plan, null, 2), 'plan.json');
      return [];
    } catch (cause) {
      const error = cause as LinewashError;
      expect(error.tag).toBe('recipe');
      expect(error.faults.every(({ line, column }) => line! > 0 && column! > 0)).toBe(true);
      return error.faults.map(({ path, message }) => `${path}: ${message}`);
    }
  };

  it('is read', () => expect(parsePlan(JSON.stringify(PLAN))).toEqual(PLAN));

  it.each<[string, (plan: any) => void, RegExp]>([
    ['version', (p) => (p.linewash = 2), /^\$\.linewash: this linewash reads plans of version 1/],
    ['no nights', (p) => (p.nights = []), /^\$\.nights: at least one/],
    ['a date that is none', (p) => (p.nights[0].date = '2026-02-30'), /^\$\.nights\[0\]\.date: a date/],
    ['a night twice', (p) => p.nights.push(p.nights[0]), /^\$\.nights\[1\]\.date: .*twice/],
    ['hours without unit', (p) => (p.nights[0].dark = 6), /^\$\.nights\[0\]\.dark: found 6; a duration/],
    ['a typing error', (p) => (p.targets[0].recipee = 'hoo'), /recipee: unknown key \(did you mean recipe\?\)/],
    ['no recipe', (p) => delete p.targets[0].recipe, /^\$\.targets\[0\]\.recipe: this key is missing/],
    ['no masters', (p) => (p.targets[0].masters = {}), /masters: there is no master|sub\.H/],
    ['another goal', (p) => (p.targets[0].goal = 'best'), /goal: allowed: luminance, colour, snr/],
    ['an SNR without box', (p) => (p.targets[0].goal = 'snr'), /goal: the goal snr needs "snr" and "box"/],
    ['an SNR without its goal', (p) => (p.targets[0].snr = 5), /snr: an SNR needs "goal": "snr"/],
    ['an unknown line', (p) => (p.targets[0].sub = { S: '300s' }), /sub\.S: there is no line S; lines: H, O/],
    ['an unknown night', (p) => (p.targets[0].nights = ['2026-01-11']), /nights\[0\]: there is no night 2026-01-11/],
    ['a weight of 0', (p) => (p.targets[0].weight = 0), /weight: a number above 0/],
  ])('is refused for %s', (_, change, message) => expect(faults(change)[0]).toMatch(message));

  it('becomes CSV whose names stay names', () => {
    const block = { line: 'H', hours: 1.5, clock: 1.6 };
    const csv = planCsv({
      nights: [
        {
          date: '2026-01-10',
          dark: 6,
          used: 3.2,
          blocks: [
            { ...block, target: 'Wing, "north"', subs: 18 },
            { ...block, target: '=1+1' },
          ],
        },
      ],
      targets: [],
    });
    expect(csv.split('\r\n')).toEqual([
      'night,target,line,subs,hours,clock_hours',
      '2026-01-10,"Wing, ""north""",H,18,1.5,1.6',
      "2026-01-10,'=1+1,H,,1.5,1.6",
      '',
    ]);
  });
});
