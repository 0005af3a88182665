import { describe, expect, it } from 'vitest';
import { adviseHours, type HoursWish } from '../../lib/hours/advice.ts';
import { readPenalty } from '../../lib/hours/ccd.ts';
import { secondsOf } from '../../lib/hours/duration.ts';
import { exposureOf } from '../../lib/hours/exposure.ts';
import { addedBy, futureNoise, moveHours, noiseByHours, noiseByHoursOf, plannedPlace } from '../../lib/hours/future.ts';
import { type LineWish, linesFor, noiseFactors } from '../../lib/hours/goal.ts';
import { ledger } from '../../lib/hours/ledger.ts';
import { EXPOSURES, STATS, WITHOUT_BOX } from './readings.ts';
import { SETTLED } from './settled.ts';

const atBackground = ledger(SETTLED, WITHOUT_BOX);
const withBox = ledger(SETTLED, STATS);

describe('exposure', () => {
  const facts = { exposure: 300, subs: 24, hours: 2, from: {}, cards: [] };
  it('comes from the header, or from the user', () => {
    expect(exposureOf('S', facts)).toEqual({ name: 'S', hours: 2, sub: 300, subs: 24, from: 'header' });
    expect(exposureOf('S', facts, 3)).toEqual({ name: 'S', hours: 3, sub: 300, subs: 36, from: 'given' });
    expect(exposureOf('S', { from: {}, cards: [] })).toEqual({
      name: 'S',
      hours: undefined,
      sub: undefined,
      subs: undefined,
      from: undefined,
    });
  });

  it('counts subs where the header does not, and takes a sub of no length for none', () => {
    // 2 h are 7200 s: 24 subs of 300 s.
    expect(exposureOf('S', { ...facts, subs: undefined }).subs).toBe(24);
    for (const exposure of [0, -300])
      expect(exposureOf('S', { ...facts, exposure })).toMatchObject({ sub: undefined, subs: 24, hours: 2 });
    expect(exposureOf('S', { ...facts, exposure: 0 }, 3).subs).toBeUndefined();
  });

  it.each([
    ['300s', 300],
    ['4.5h', 16200],
    ['20 min', 1200],
    ['5m', 300],
    ['5', undefined],
    ['1,5h', undefined],
    ['-2h', undefined],
    ['', undefined],
  ])('%j lasts %s seconds', (text, seconds) => expect(secondsOf(text)).toBe(seconds));
});

describe('lines of a plan', () => {
  it('carry their part of the noise, so that the variance now is the ledger’s', () => {
    const lines = linesFor(atBackground.background, 'luminance', EXPOSURES);
    const variance = lines.reduce((sum, { strength, spent }) => sum + strength ** 2 / spent, 0);
    expect(Math.sqrt(variance)).toBeCloseTo(atBackground.background.noise.luminance, 12);
  });

  it('count hours spent as hours of future subs where read noise matters', () => {
    const camera = { sky: 0.2, read: 3 };
    const [line] = linesFor(atBackground.background, 'colour', EXPOSURES, { S: { sub: 100, camera } });
    const worth = (readPenalty(camera, 100) / readPenalty(camera, 400)) ** 2;
    expect(worth).toBeGreaterThan(1.2);
    expect(line!.spent).toBeCloseTo(6 * worth, 12);
    // Inverse variance: 6 h of old subs and 3 h of new ones, each as noisy as its own kind is.
    const rate = (seconds: number) => camera.sky * (1 + camera.read ** 2 / (camera.sky * seconds));
    const precision = 6 / rate(400) + 3 / rate(100);
    expect(noiseFactors([line!], [3])[0]).toBeCloseTo(Math.sqrt(6 / rate(400) / precision), 12);
  });

  it.each([undefined, 0, -1, Number.NaN])('say which line has no hours: %s', (hours) => {
    expect(() =>
      linesFor(atBackground.background, 'colour', [{ ...EXPOSURES[0]!, hours }, ...EXPOSURES.slice(1)]),
    ).toThrow(/the exposure of S is unknown/);
  });

  it('take the wish of their own line alone: sub, overhead, room below the cap, weight', () => {
    const plain = linesFor(atBackground.background, 'colour', EXPOSURES);
    expect(plain.map(({ sub, overhead, room }) => [sub, overhead, room])).toEqual(
      Array(3).fill([400, undefined, undefined]),
    );
    const wish: LineWish = { sub: 600, overhead: 20, cap: 7, weight: 3 };
    const [s, h, o] = linesFor(atBackground.background, 'colour', EXPOSURES, { S: wish, O: { cap: 2 } });
    expect(s).toMatchObject({ name: 'S', spent: 6, sub: 600, overhead: 20, room: 1 });
    expect(s!.strength).toBeCloseTo(3 * plain[0]!.strength, 12);
    expect(h).toEqual(plain[1]);
    expect(o!.room).toBe(0);
  });
});

describe('advice', () => {
  it('splits hours, and says what equal shares would give', () => {
    const advice = adviseHours(atBackground, WITHOUT_BOX, EXPOSURES, { goal: 'luminance', more: 10 });
    expect(advice.place).toBe('background');
    expect(advice.allocation!.shares.reduce((n, { subs }) => n + subs!, 0)).toBe(90);
    expect(advice.future!.noise.luminance).toBeLessThan(advice.equal!.noise.luminance);
    expect(advice.future!.noise.luminance).toBeCloseTo(Math.sqrt(advice.allocation!.after), 12);
    expect(advice.steps).toBeUndefined();
    const most = advice.nextHour.indexOf(Math.max(...advice.nextHour));
    expect(advice.allocation!.shares[most]!.added).toBeGreaterThan(0);
  });

  it('says what one more hour of each line is worth alone', () => {
    const { noise, shares } = atBackground.background;
    for (const goal of ['luminance', 'colour'] as const) {
      const { nextHour, allocation, future, equal } = adviseHours(atBackground, WITHOUT_BOX, EXPOSURES, { goal });
      // A line's part of the variance falls as 1/hours; the others' stay.
      for (const [i, { hours }] of EXPOSURES.entries())
        expect(nextHour[i]).toBeCloseTo(1 - Math.sqrt(1 - shares[goal][i]! * (1 - hours! / (hours! + 1))), 9);
      expect([allocation, future, equal]).toEqual([undefined, undefined, undefined]);
      expect(noise[goal]).toBeGreaterThan(0);
    }
  });

  it('takes filter changes and overheads off equal shares, too', () => {
    const lines = Object.fromEntries(['S', 'H', 'O'].map((name) => [name, { overhead: 80 }]));
    const wish = { goal: 'colour', more: 12, change: 0.5, lines } as const;
    const { equal, allocation } = adviseHours(atBackground, WITHOUT_BOX, EXPOSURES, wish);
    const { noise, shares } = atBackground.background;
    // The time used in thirds, half an hour less for the change, and 400 of 480 s exposed.
    const each = (allocation!.clock / 3 - 0.5) * (400 / 480);
    const left = EXPOSURES.map(({ hours }, i) => (shares.colour[i]! * hours!) / (hours! + each));
    expect(equal!.noise.colour).toBeCloseTo(noise.colour * Math.sqrt(left[0]! + left[1]! + left[2]!), 9);
    const short = adviseHours(atBackground, WITHOUT_BOX, EXPOSURES, { goal: 'colour', more: 1, change: 0.5 });
    // A third of an hour each is less than a change: no time is left, whereas one line gains from all of it.
    expect(short.future!.noise.colour).toBeLessThan(noise.colour);
    expect(short.equal!.noise.colour).toBeCloseTo(noise.colour, 12);
  });

  it('has nothing to compare where no hours are added', () => {
    const { allocation, equal } = adviseHours(atBackground, WITHOUT_BOX, EXPOSURES, { goal: 'colour', more: 0 });
    expect(allocation!.clock).toBe(0);
    expect(equal).toBeUndefined();
  });

  it('looks at the box where there is one, in the quantity of its goal', () => {
    const advice = (wish: Partial<HoursWish>, of = withBox) =>
      adviseHours(of, of === withBox ? STATS : WITHOUT_BOX, EXPOSURES, { goal: 'colour', ...wish });
    expect(plannedPlace(withBox)).toBe(withBox.box);
    expect(plannedPlace(atBackground)).toBe(atBackground.background);
    expect(advice({}, atBackground)).toMatchObject({ goal: 'colour', quantity: 'colour', place: 'background' });
    const { nextHour, ...box } = advice({ quantity: 'blue' });
    expect(box).toMatchObject({ goal: 'colour', quantity: 'colour', place: 'box' });
    const share = withBox.box!.shares.colour[1]!;
    expect(nextHour[1]).toBeCloseTo(1 - Math.sqrt(1 - share / 5), 9);
    expect(advice({ goal: 'snr', quantity: 'blue' })).toMatchObject({ goal: 'snr', quantity: 'blue' });
    // Blue is made of O alone.
    expect(advice({ goal: 'snr', quantity: 'blue' }).nextHour.map((v) => v > 0)).toEqual([false, false, true]);
  });

  it('lets weights have no part in an SNR', () => {
    const lines = { S: { weight: 50 }, H: { cap: 30 } };
    const reach = (wishes: Record<string, LineWish>, goal: 'snr' | 'luminance') =>
      adviseHours(withBox, STATS, EXPOSURES, { goal, snr: 4, more: 10, lines: wishes });
    expect(reach(lines, 'snr')).toEqual(reach({ H: { cap: 30 } }, 'snr'));
    expect(reach(lines, 'luminance').steps).toEqual(reach({ H: { cap: 30 } }, 'luminance').steps);
    expect(reach(lines, 'luminance').allocation).not.toEqual(reach({ H: { cap: 30 } }, 'luminance').allocation);
  });

  it('weighs lines and holds them to caps', () => {
    const added = (lines: Record<string, LineWish>) =>
      addedBy(adviseHours(atBackground, WITHOUT_BOX, EXPOSURES, { goal: 'colour', more: 10, lines }).allocation!);
    const plain = added({});
    expect(added({ S: { weight: 4 } })[0]).toBeGreaterThan(plain[0]!);
    expect(plain[2]).toBeGreaterThan(2);
    expect(added({ O: { cap: 7 } })[2]).toBeLessThanOrEqual(2 + 1e-9);
  });

  it('reaches an SNR soonest', () => {
    const advice = adviseHours(withBox, STATS, EXPOSURES, { goal: 'snr', snr: 4 });
    expect(advice.place).toBe('box');
    const snr = withBox.box!.signal.luminance / advice.future!.noise.luminance;
    expect(snr).toBeGreaterThanOrEqual(4);
    expect(snr).toBeLessThan(4.02);
    const [three, five, ten] = advice.steps!.map(({ allocation }) => allocation!.clock);
    expect(three).toBeLessThan(advice.allocation!.clock);
    expect(five).toBeGreaterThan(advice.allocation!.clock);
    expect(ten).toBeGreaterThan(five!);
  });

  it('needs fewer hours for the mean of a box than for a pixel', () => {
    const advice = adviseHours(withBox, STATS, EXPOSURES, { goal: 'snr', per: 'box' });
    expect(withBox.box!.snrOfMean.luminance).toBeGreaterThan(10);
    expect(advice.steps!.map(({ allocation }) => allocation!.clock)).toEqual([0, 0, 0]);
    expect(advice.allocation).toBeUndefined();
  });

  it('stops where the SNR is reached, though there is more time', () => {
    const all = adviseHours(withBox, STATS, EXPOSURES, { goal: 'snr', more: 200 }).allocation!.clock;
    const enough = adviseHours(withBox, STATS, EXPOSURES, { goal: 'snr', snr: 4, more: 200 }).allocation!.clock;
    expect(all).toBeCloseTo(200, 6);
    expect(enough).toBeLessThan(150);
  });

  it('refuses an SNR without box, or out of reach', () => {
    expect(() => adviseHours(atBackground, WITHOUT_BOX, EXPOSURES, { goal: 'snr', snr: 4 })).toThrow(/needs a box/);
    const lines = Object.fromEntries(['S', 'H', 'O'].map((name) => [name, { cap: 7 }]));
    expect(() => adviseHours(withBox, STATS, EXPOSURES, { goal: 'snr', snr: 10, lines })).toThrow(/cannot be reached/);
    const flat = STATS.map((s) => ({ ...s, box: { ...s.background, pixels: 100, area: 1 } }));
    expect(() => adviseHours(ledger(SETTLED, flat), flat, EXPOSURES, { goal: 'snr', snr: 3 })).toThrow(
      /cannot be reached/,
    );
  });
});

describe('the future', () => {
  const place = atBackground.background;
  const lines = linesFor(place, 'luminance', EXPOSURES);

  it('halves the noise for four times the hours, and is now with none', () => {
    const four = futureNoise(
      place,
      noiseFactors(
        lines,
        lines.map(({ spent }) => 3 * spent),
      ),
    );
    expect(four.noise.luminance).toBeCloseTo(place.noise.luminance / 2, 12);
    expect(four.shares.chroma[2]).toBeCloseTo(place.shares.chroma[2]!, 12);
    const now = futureNoise(place, [1, 1, 1]).noise;
    for (const [q, noise] of Object.entries(now)) expect(noise).toBeCloseTo(place.noise[q as 'red'], 15);
  });

  it('moves hours from one line to another', () => {
    const moved = moveHours(lines, 'S', 'O', 2);
    expect(moved).toEqual([-2, 0, 2]);
    const after = futureNoise(place, noiseFactors(lines, moved));
    expect(after.noise.blue).toBeCloseTo(place.noise.blue * Math.sqrt(5 / 7), 12);
    expect(after.noise.red).toBe(place.noise.red);
    expect(() => moveHours(lines, 'S', 'X', 2)).toThrow(/cannot be moved/);
    expect(() => moveHours(lines, 'S', 'O', 6)).toThrow(/cannot be taken/);
  });

  it('falls with hours: fastest in the best split, level at last for one line alone', () => {
    const hours = [0, 1, 5, 20, 100];
    const best = noiseByHours(place, 'luminance', lines, hours).map(({ noise }) => noise);
    expect(best[0]).toBeCloseTo(place.noise.luminance, 12);
    for (const { name } of lines) {
      const alone = noiseByHoursOf(place, 'luminance', lines, name, hours).map(({ noise }) => noise);
      for (const [i, noise] of alone.entries()) {
        expect(noise).toBeGreaterThanOrEqual(best[i]! - 1e-15);
        if (i > 0) expect(noise).toBeLessThan(alone[i - 1]!);
      }
    }
  });
});
