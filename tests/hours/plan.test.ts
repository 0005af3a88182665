import { describe, expect, it } from 'vitest';
import { fill } from '../../lib/hours/fill.ts';
import { planNights } from '../../lib/hours/plan/nights.ts';
import { planCsv } from '../../lib/hours/plan/plan.ts';
import type { TargetState } from '../../lib/hours/plan/season.ts';

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

  it('are used, though there is no time for the filter changes of all lines', () => {
    const many = Array.from({ length: 12 }, (_, t) => target(`T${t}`, [1, 1 + t / 4, 2]));
    // 36 changes of half an hour are 18 h: a night of 4 h has time for a few.
    const { nights: planned, added } = planNights(many, nights(4, 4), 0.5);
    for (const { used, blocks } of planned) {
      expect(used).toBeCloseTo(4, 9);
      expect(blocks.length).toBeGreaterThan(0);
      expect(sum(blocks.map(({ hours }) => hours + 0.5))).toBeCloseTo(4, 9);
    }
    expect(relative(many, added)).toBeLessThan(12);
  });

  it('give nothing to a target without noise, and all to the others', () => {
    const { added } = planNights([target('A', [0, 0, 0], { enough: 1 }), target('B', [1, 0, 0])], nights(3));
    expect(added).toEqual([
      [0, 0, 0],
      [3, 0, 0],
    ]);
  });

  it('hold lines to their caps over all nights', () => {
    const capped = { ...targets[0]!, lines: targets[0]!.lines.map((line) => ({ ...line, room: 1 })) };
    const { added } = planNights([capped], nights(2, 2, 2));
    expect(added[0]!.map((h) => Math.round(h * 1e9) / 1e9)).toEqual([1, 1, 1]);
    expect(fill(capped.lines, 6).map((t, i) => t - capped.lines[i]!.spent)).toEqual([1, 1, 1]);
  });
});

describe('a plan', () => {
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
