import type { ScreenPicture } from '../../lib/web/screen.ts';
import { faintPart, partAbout } from '../../playground/model/faint-part.ts';
import { apart, ticks } from '../../playground/model/hours-axis.ts';
import {
  axisEnd,
  roundHours,
  showHours,
  showNoise,
  showPercent,
  showSnr,
} from '../../playground/model/hours-figures.ts';
import { oneAtATime } from '../../playground/model/one-at-a-time.ts';
import { LITTLE, littleFrom } from '../../playground/model/slow-hour.ts';
import { equal, near, ok } from './assert.ts';
import { until } from './support.ts';

describe('where one more hour brings little', () => {
  /** Noise of hours split between what falls as √(t / (t + n)) and what stays. */
  const curve = (t: number, until: number, rest = 0) =>
    Array.from({ length: 61 }, (_, i) => {
      const hours = (i * until) / 60;
      return { hours, noise: rest + Math.sqrt(t / (t + hours)) };
    });

  it('is where the formula says', () => {
    // One more hour takes 1 − √((t + n) / (t + n + 1)) of noise that only time makes.
    for (const t of [3, 8, 15]) {
      let n = 0;
      while (1 - Math.sqrt((t + n) / (t + n + 1)) >= LITTLE) n += 0.01;
      near(littleFrom(curve(t, 60))!, n, 0.3);
    }
  });

  it('is now where all else stays, and nowhere where the curve ends before', () => {
    equal(littleFrom(curve(3, 60, 1000)), 0);
    equal(littleFrom(curve(3, 10)), undefined);
  });
});

describe('figures of hours', () => {
  it('are shown with as many digits as they are worth', () => {
    equal([0.31, 0.016, 0.0016, 0, 1, -0.3, 0.0951].map(showPercent), [
      '31 %',
      '1.6 %',
      '0.16 %',
      '0 %',
      '100 %',
      '−30 %',
      '9.5 %',
    ]);
    equal([2.2222, 10, 0, 123.4].map(showHours), ['2.2 h', '10 h', '0 h', '123 h']);
    equal([0.000674, 0.0022, 0.12, 0].map(showNoise), ['0.67', '2.2', '120', '0.00']);
    equal([2.94, 31.7].map(showSnr), ['2.9', '32']);
  });

  it('end on round numbers', () => {
    equal([0, 10, 10.1, 22.5, 31, 60, 150, 400].map(roundHours), [10, 10, 20, 30, 50, 100, 200, 500]);
    equal([axisEnd(15, 0), axisEnd(15, 80), axisEnd(0, 0)], [30, 100, 10]);
  });
});

describe('the axis of hours', () => {
  it('has four to six round ticks from 0 on', () => {
    equal(ticks(10), [0, 2, 4, 6, 8, 10]);
    equal(ticks(30), [0, 10, 20, 30]);
    for (const until of [10, 20, 30, 50, 100, 200, 300, 500, 1000]) {
      const all = ticks(until);
      ok(all[0] === 0 && all.length >= 4 && all.length <= 6 && all.at(-1)! <= until, `${until}: ${all}`);
    }
  });

  it('keeps names apart, near their curves, inside the plot', () => {
    equal(apart([10, 50, 90], 14, 0, 100), [10, 50, 90]);
    equal(apart([50, 50], 14, 0, 100), [43, 57]);
    equal(apart([0, 2, 100], 14, 0, 100), [0, 14, 100]);
    equal(apart([120, -5], 14, 0, 100), [100, 0]);
    const places = apart([30, 31, 40, 41, 42, 95, 96], 14, 0, 110);
    for (const [i, place] of places.entries()) if (i > 0) ok(place - places[i - 1]! >= 14 - 1e-6, `${places}`);
  });
});

describe('work one at a time', () => {
  it('does once more whatever is asked meanwhile, and never two at once', async () => {
    const seen: string[] = [];
    const ends: (() => void)[] = [];
    let asked = 0;
    let active = 0;
    const work = oneAtATime(async () => {
      active++;
      seen.push(`${asked} ${active}`);
      await new Promise<void>((resolve) => ends.push(resolve));
      active--;
    });
    for (asked = 1; asked <= 5; asked++) work.ask();
    // The first run began at once; the four that came meanwhile are one.
    equal(seen, ['1 1']);
    ends[0]!();
    await until(() => ends.length === 2);
    equal(seen, ['1 1', '6 1']);
    ends[1]!();
    await until(() => active === 0);
    work.ask();
    await until(() => ends.length === 3);
    ends[2]!();
    equal(seen, ['1 1', '6 1', '6 1']);
  });

  it('stops what runs when it begins anew', async () => {
    const stopped: boolean[] = [];
    const ends: (() => void)[] = [];
    const work = oneAtATime(async (signal) => {
      await new Promise<void>((resolve) => ends.push(resolve));
      stopped.push(signal.aborted);
    });
    work.ask();
    work.restart();
    ends[0]!();
    await until(() => ends.length === 2);
    ends[1]!();
    await until(() => stopped.length === 2);
    equal(stopped, [true, false]);
    work.ask();
    await until(() => ends.length === 3);
    work.stop();
    ends[2]!();
    await until(() => stopped.length === 3);
    equal(stopped, [true, false, true]);
  });
});

describe('a faint part', () => {
  const full = { width: 4000, height: 2000 };
  const size = { width: 400, height: 200 };

  it('is inside the picture, about a point where one is given', () => {
    equal(partAbout(2000, 1000, size, full), { x: 1800, y: 900, ...size });
    equal(partAbout(0, 5000, size, full), { x: 0, y: 1800, ...size });
    equal(partAbout(10, 10, size, { width: 50, height: 30 }), { x: 0, y: 0, width: 50, height: 30 });
  });

  it('is neither the brightest nor the blackest, and has data everywhere', () => {
    const small: ScreenPicture = { width: 400, height: 200, data: new Uint8ClampedArray(4 * 400 * 200), space: 'srgb' };
    // Brighter from left to right; the left quarter has no data.
    for (let i = 0; i < 400 * 200; i++) {
      const light = (255 * (i % 400)) / 400;
      small.data.set([light, light, light, i % 400 < 100 ? 0 : 255], 4 * i);
    }
    const part = faintPart(small, size, full);
    ok(part.x >= 1000, 'where all lines have data');
    // 40 % of the places between 1000 and 3600 are fainter.
    near(part.x, 1000 + 0.4 * 2600, 250);
    const none = { ...small, data: new Uint8ClampedArray(small.data.length) };
    equal(faintPart(none, size, full), { x: 1800, y: 900, ...size });
  });
});
