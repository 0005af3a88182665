import { describe, expect, it } from 'vitest';
import { lineWish, noiseExpected } from '../../lib/hours/line-hours.ts';

describe("a line's wish", () => {
  const sky = { level: 900, sub: 300 };

  it('is what is said of its subs, where nothing is said of read noise', () => {
    const wish = { sub: 600, overhead: 0, cap: 20, weight: 2 };
    expect(lineWish('O', { ...wish, gain: 2, pedestal: 600, sky: 0.2 }, sky)).toEqual(wish);
    expect(lineWish('S', {}, sky)).toEqual({});
  });

  it('takes the rate of the sky as given', () => {
    const hours = { readNoise: 1.6, sky: 0.2, gain: 2, pedestal: 600 };
    expect(lineWish('S', hours, sky)).toEqual({ camera: { sky: 0.2, read: 1.6 } });
    expect(lineWish('S', { ...hours, sky: 0 }, sky)).toEqual({ camera: { sky: 0, read: 1.6 } });
  });

  it('or reads it from the level: counts above the pedestal, in electrons, by the seconds of a sub', () => {
    const hours = { readNoise: 1.6, gain: 0.25, pedestal: 600 };
    // (900 − 600) · 0.25 / 300 = 0.25 electrons a second.
    expect(lineWish('S', hours, sky)).toEqual({ camera: { sky: 0.25, read: 1.6 } });
    // A level at the pedestal is a sky without light.
    expect(lineWish('S', hours, { level: 600, sub: 300 })).toEqual({ camera: { sky: 0, read: 1.6 } });
  });

  it.each([
    ['no gain', { pedestal: 600 }, sky],
    ['no pedestal', { gain: 0.25 }, sky],
    ['no length of a sub', { gain: 0.25, pedestal: 600 }, { level: 900, sub: undefined }],
    ['a level below the pedestal', { gain: 0.25, pedestal: 901 }, sky],
  ])('refuses read noise with %s', (_, hours, facts) =>
    expect(() => lineWish('S', { ...hours, readNoise: 1.6 }, facts)).toThrow(/brightness of the sky/),
  );
});

describe('the noise that the CCD equation expects', () => {
  const exposure = { name: 'S', hours: 1, sub: 300, subs: 12, from: 'header' } as const;
  const wish = { camera: { sky: 0.25, read: 1.5 } };

  it('is √((sky · t + read²) / n) electrons, in counts', () => {
    // (0.25 · 300 + 1.5²) / 12 = 6.4375 electrons², and half an electron a count.
    expect(noiseExpected({ gain: 0.5 }, exposure, wish)).toBeCloseTo(Math.sqrt(6.4375) / 0.5, 12);
  });

  it.each([
    ['camera', { gain: 0.5 }, exposure, {}],
    ['gain', {}, exposure, wish],
    ['length of a sub', { gain: 0.5 }, { ...exposure, sub: undefined }, wish],
    ['count of subs', { gain: 0.5 }, { ...exposure, subs: undefined }, wish],
  ])('is not known without a %s', (_, hours, facts, camera) =>
    expect(noiseExpected(hours, facts, camera)).toBeUndefined(),
  );
});
