import { describe, expect, it } from 'vitest';
import { adviseHours } from '../../lib/hours/advice.ts';
import type { Exposure } from '../../lib/hours/exposure.ts';
import { ledger } from '../../lib/hours/ledger.ts';
import type { LineSurvey } from '../../lib/hours/survey.ts';
import { type HoursWishes, planFor } from '../../lib/web/hours-plan.ts';
import { SETTLED } from '../hours/settled.ts';

const texture = { pixel: 1, area: 1 } as unknown as LineSurvey['texture'];
const SURVEYS: readonly LineSurvey[] = [
  { name: 'S', background: { value: 1040, noise: 4 }, box: { value: 1046, noise: 4.2, pixels: 100, area: 1 }, texture },
  { name: 'H', background: { value: 1550, noise: 6 }, box: { value: 1560, noise: 6.1, pixels: 100, area: 1 }, texture },
  { name: 'O', background: { value: 1250, noise: 5 }, box: { value: 1262, noise: 5.3, pixels: 100, area: 1 }, texture },
];
const WITHOUT_BOX = SURVEYS.map(({ name, background }) => ({ name, background, texture }));
/** Without the length of a sub nothing is rounded, and the clock is the exposure and the changes. */
const EXPOSURES: readonly Exposure[] = [
  ['S', 6],
  ['H', 4],
  ['O', 5],
].map(([name, hours]) => ({ name, hours, sub: undefined, subs: undefined, from: 'given' }) as Exposure);

const atSky = ledger(SETTLED, WITHOUT_BOX);
const atBox = ledger(SETTLED, SURVEYS);
const plan = (wishes: Partial<HoursWishes>) =>
  planFor(atSky, WITHOUT_BOX, EXPOSURES, { goal: 'luminance', more: 12, until: 30, ...wishes });
const planAtBox = (wishes: Partial<HoursWishes>) =>
  planFor(atBox, SURVEYS, EXPOSURES, { goal: 'snr', more: 12, until: 30, ...wishes });

describe('nights on the page', () => {
  it('share the hours in equal parts, and each line used in one costs its minutes there', () => {
    const { nights } = plan({ goal: 'colour', nights: 4, change: 15 });
    expect(nights!.map(({ date, dark }) => [date, dark])).toEqual([
      ['1', 3],
      ['2', 3],
      ['3', 3],
      ['4', 3],
    ]);
    for (const { used, blocks } of nights!) {
      expect(blocks.length).toBeGreaterThan(0);
      for (const { clock, hours } of blocks) expect(clock - hours).toBeCloseTo(0.25, 9);
      expect(used).toBeCloseTo(3, 9);
    }
  });

  it('cost the split over all of them a line’s minutes as many times', () => {
    const { advice } = plan({ nights: 4, change: 15 });
    expect(advice).toEqual(adviseHours(atSky, WITHOUT_BOX, EXPOSURES, { goal: 'luminance', more: 12, change: 1 }));
    expect(advice).not.toEqual(plan({ nights: 4 }).advice);
    for (const { added, clock } of advice.allocation!.shares) expect(clock - added).toBeCloseTo(added > 0 ? 1 : 0, 9);
  });

  it('are not planned for one, nor for an SNR', () => {
    for (const some of [plan({}), plan({ nights: 1 }), planAtBox({ snr: 5, nights: 3 })])
      expect(some.nights).toBeUndefined();
  });

  it('keep to the most hours of a line', () => {
    const caps = { H: 4.5, O: 5 };
    const { nights, advice } = plan({ nights: 3, caps });
    const given = (name: string) =>
      nights!.flatMap(({ blocks }) => blocks).reduce((sum, b) => sum + (b.line === name ? b.hours : 0), 0);
    expect(given('H')).toBeCloseTo(0.5, 9);
    expect(given('O')).toBe(0);
    expect(advice.allocation!.shares.map(({ added }) => added)).toEqual(
      [11.5, 0.5, 0].map((h) => expect.closeTo(h, 9)),
    );
  });
});

describe('curves of hours', () => {
  it('stand still until the first line’s minutes are over', () => {
    const { points } = plan({ change: 60 }).curves.at(-1)!;
    expect(points.map(({ hours }) => hours)).toEqual(Array.from({ length: 61 }, (_, i) => i / 2));
    const now = points[0]!.noise;
    expect(points.slice(0, 3).every(({ noise }) => Math.abs(noise / now - 1) < 1e-12)).toBe(true);
    expect(points[3]!.noise).toBeLessThan(now);
    // An hour given to change filters is an hour less of light: no split of 30 h does better.
    expect(points.at(-1)!.noise).toBeGreaterThan(plan({}).curves.at(-1)!.points.at(-1)!.noise);
  });

  it('fall for a line alone as the root of its hours does', () => {
    const { noise, shares } = atSky.background;
    for (const [i, { line, points }] of plan({}).curves.slice(0, 3).entries()) {
      expect(line).toBe(EXPOSURES[i]!.name);
      const [spent, share] = [EXPOSURES[i]!.hours!, shares.luminance[i]!];
      for (const { hours, noise: after } of points)
        expect(after).toBeCloseTo(noise.luminance * Math.sqrt(1 - share + (share * spent) / (spent + hours)), 12);
    }
  });
});

describe('an SNR to be reached', () => {
  it('is reached by the hours that it takes, however many are there to be split', () => {
    const wish = 2 * atBox.box!.snr.luminance;
    const [found, less] = [planAtBox({ snr: wish }), planAtBox({ snr: wish, more: 1 })];
    expect(found.fault).toBeUndefined();
    expect(found.advice).toMatchObject({ goal: 'snr', place: 'box' });
    expect(Math.abs(atBox.box!.signal.luminance) / found.advice.future!.noise.luminance).toBeCloseTo(wish, 6);
    expect(less.advice).toEqual(found.advice);
  });

  it('that limits put out of reach is said to be so, with the split for luminance instead', () => {
    const caps = { S: 6, H: 4, O: 5 };
    const { advice, fault } = planAtBox({ snr: 3 * atBox.box!.snr.luminance, caps });
    expect(fault!.words).not.toBe('');
    expect(fault!.advice).toBeDefined();
    expect(advice.goal).toBe('luminance');
    const open = planAtBox({ snr: 1e6, caps: { O: 7 } });
    expect(open.fault).toBeDefined();
    expect(open.advice.allocation!.clock).toBeCloseTo(12, 9);
  });

  it('is nothing to plan for without a box: the split is for luminance, and nothing is at fault', () => {
    const { advice, fault } = plan({ goal: 'snr', snr: 5 });
    expect(fault).toBeUndefined();
    expect(advice).toEqual(plan({ goal: 'luminance' }).advice);
  });
});
