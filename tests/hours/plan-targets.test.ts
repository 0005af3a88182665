import { describe, expect, it } from 'vitest';
import { ledger } from '../../lib/hours/ledger.ts';
import { planHours } from '../../lib/hours/plan/plan.ts';
import type { PlanTarget, WrittenPlan } from '../../lib/hours/plan/schema.ts';
import { type MeasuredTarget, targetState } from '../../lib/hours/plan/target.ts';
import { EXPOSURES, STATS, WITHOUT_BOX } from './readings.ts';
import { SETTLED } from './settled.ts';

const MASTERS = { S: 's.fits', H: 'h.fits', O: 'o.fits' };
const measured = (target: Partial<PlanTarget> = {}, stats = WITHOUT_BOX): MeasuredTarget => ({
  target: { name: 'Emberwing', masters: MASTERS, recipe: 'sho', ...target },
  ledger: ledger(SETTLED, stats),
  stats,
  exposures: EXPOSURES,
});
const inBox = (target: Partial<PlanTarget> = {}) => measured(target, STATS);
const plan = (targets: readonly MeasuredTarget[], dark: readonly string[], more: Partial<WrittenPlan> = {}) =>
  planHours(
    {
      linewash: 1,
      nights: dark.map((hours, i) => ({ date: `2026-01-1${i}`, dark: hours })),
      targets: targets.map(({ target }) => target),
      ...more,
    },
    targets,
  );
const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);

describe('what targets gain by a plan', () => {
  it('is told by target: its quantity and place, hours by line, noise before and after', () => {
    const targets = [measured({ goal: 'colour' }), inBox({ name: 'Veilfold' })];
    const { targets: found, nights } = plan(targets, ['6h', '240m']);
    expect(found.map(({ name, quantity, place }) => [name, quantity, place])).toEqual([
      ['Emberwing', 'colour', 'background'],
      ['Veilfold', 'luminance', 'box'],
    ]);
    for (const [t, { lines, before, after, quantity, snr }] of found.entries()) {
      const { background, box } = targets[t]!.ledger;
      const place = box ?? background;
      expect(before).toBe(place.noise[quantity]);
      expect(lines.map(({ name, hours }) => [name, hours])).toEqual(EXPOSURES.map(({ name, hours }) => [name, hours]));
      // A line's part of the variance falls as one over its hours.
      const left = lines.map(({ hours, added }, i) => (place.shares[quantity][i]! * hours) / (hours + added));
      expect(after).toBeCloseTo(before * Math.sqrt(sum(left)), 12);
      expect(after).toBeLessThan(before);
      expect(snr).toBeUndefined();
      const blocks = nights.flatMap((night) => night.blocks).filter(({ target }) => target === found[t]!.name);
      for (const { name, added } of lines)
        expect(sum(blocks.filter(({ line }) => line === name).map(({ hours }) => hours))).toBeCloseTo(added, 9);
    }
    expect(nights.map(({ date, dark, used }) => [date, dark, used])).toEqual([
      ['2026-01-10', 6, expect.closeTo(6, 9)],
      ['2026-01-11', 4, expect.closeTo(4, 9)],
    ]);
  });

  it('pays for overheads and changes on the clock', () => {
    const { nights } = plan([measured({ goal: 'colour' })], ['9h'], { overhead: '50s', change: '6m' });
    const { blocks, used } = nights[0]!;
    expect(blocks.length).toBeGreaterThan(1);
    for (const { subs, hours, clock } of blocks) {
      expect(hours).toBeCloseTo((subs! * 400) / 3600, 9);
      expect(clock).toBeCloseTo((subs! * 450) / 3600 + 0.1, 9);
    }
    expect(used).toBeCloseTo(sum(blocks.map(({ clock }) => clock)), 9);
    expect(used).toBeGreaterThan(9 - 450 / 3600);
  });

  it.each([
    ['of one pixel', {}, 'snr'],
    ['of the mean of the box', { per: 'box' }, 'snrOfMean'],
  ] as const)('is an SNR %s where that is the goal, reached and not passed', (_, per, of) => {
    const { box } = inBox().ledger;
    const before = box![of].luminance;
    const wanted = before * 1.3;
    const target = inBox({ goal: 'snr', snr: wanted, ...per });
    const { targets, nights } = plan([target], ['90h']);
    const { snr, before: noise, after, quantity } = targets[0]!;
    expect(quantity).toBe('luminance');
    expect(snr!.wanted).toBe(wanted);
    expect(snr!.before).toBeCloseTo(before, 9);
    expect(snr!.after).toBeCloseTo((before * noise) / after, 9);
    expect(snr!.after).toBeGreaterThanOrEqual(wanted);
    // A sub of 400 s less on the line exposed most would leave it below, or just about there.
    expect(snr!.after).toBeLessThan(wanted * 1.01);
    expect(nights[0]!.used).toBeLessThan(30);
  });

  it('is no SNR where none is wanted, or where there is no box', () => {
    expect(plan([inBox()], ['2h']).targets[0]).not.toHaveProperty('snr');
    expect(plan([measured({ snr: 5 })], ['2h']).targets[0]).not.toHaveProperty('snr');
  });
});

describe('a measured target', () => {
  it('takes subs and caps for all lines or by line', () => {
    const lines = (target: Partial<PlanTarget>) =>
      targetState(measured(target), 30).lines.map(({ name, sub, room, overhead }) => [name, sub, room, overhead]);
    expect(lines({})).toEqual([
      ['S', 400, undefined, 30],
      ['H', 400, undefined, 30],
      ['O', 400, undefined, 30],
    ]);
    expect(lines({ sub: '5m', cap: '7h' })).toEqual([
      ['S', 300, 1, 30],
      ['H', 300, 3, 30],
      ['O', 300, 2, 30],
    ]);
    expect(lines({ sub: { H: '600s' }, cap: { O: '4h', S: '10h' } })).toEqual([
      ['S', 400, 4, 30],
      ['H', 600, undefined, 30],
      ['O', 400, 0, 30],
    ]);
  });

  it('weighs its lines, but not for an SNR', () => {
    const strengths = (target: Partial<PlanTarget>) =>
      targetState(inBox(target), undefined).lines.map(({ strength }) => strength);
    const plain = strengths({ goal: 'colour' });
    expect(strengths({ goal: 'colour', lineWeight: { H: 3 } })).toEqual([plain[0], 3 * plain[1]!, plain[2]]);
    const snr = { goal: 'snr', snr: 5, in: 'colour' } as const;
    expect(strengths({ ...snr, lineWeight: { H: 3 } })).toEqual(plain);
    // The box of 100 independent pixels has a mean ten times less noisy.
    expect(strengths({ ...snr, per: 'box' })).toEqual(plain.map((k) => expect.closeTo(k / 10, 12)));
  });

  it('counts the area of noise that goes together in the mean of a box', () => {
    const together = STATS.map((s) => ({ ...s, box: { ...s.box!, area: 2 } }));
    const [one, two] = [STATS, together].map(
      (stats) => targetState(measured({ goal: 'snr', snr: 5, per: 'box' }, stats), undefined).lines,
    );
    for (const [i, { strength }] of two!.entries()) expect(strength).toBeCloseTo(2 * one![i]!.strength, 12);
  });

  it('is open on its nights, up for its hours, and weighs 1 where nothing is said', () => {
    const plain = targetState(measured(), undefined);
    expect(plain).toMatchObject({ name: 'Emberwing', weight: 1, up: undefined, enough: undefined });
    expect(plain.open('2026-01-10')).toBe(true);
    const some = targetState(measured({ nights: ['2026-01-12'], up: '90m', weight: 3 }), undefined);
    expect(some).toMatchObject({ weight: 3, up: 1.5 });
    expect(['2026-01-10', '2026-01-12'].map((date) => some.open(date))).toEqual([false, true]);
  });

  it('is refused where its box does not stand out, or its hours are not known', () => {
    const flat = STATS.map((s) => ({ ...s, box: { ...s.background, pixels: 100, area: 1 } }));
    const state = (target: MeasuredTarget) => () => targetState(target, undefined);
    expect(state(measured({ goal: 'snr', snr: 5 }, flat))).toThrow(/Emberwing: the box does not stand out/);
    expect(state(measured({}, flat))).not.toThrow();
    const exposures = EXPOSURES.map((e) => ({ ...e, hours: undefined }));
    expect(state({ ...measured(), exposures })).toThrow(/exposure of S is unknown/);
  });

  it('needs the variance at which its signal stands out as wanted', () => {
    const { box } = inBox().ledger;
    const { enough, lines } = targetState(inBox({ goal: 'snr', snr: 4, in: 'blue' }), undefined);
    expect(enough).toBeCloseTo((box!.signal.blue / 4) ** 2, 12);
    const now = lines.reduce((v, { strength, spent }) => v + strength ** 2 / spent, 0);
    expect(Math.sqrt(now)).toBeCloseTo(box!.noise.blue, 12);
  });
});
