import { describe, expect, it } from 'vitest';
import type { Measured } from '../../lib/plane/measured.ts';
import { backgroundShare, findLevels, shareScale, valueShare } from '../../lib/prepare/levels.ts';

const measured = (max: number, lowest = 90): Measured =>
  ({ max, level: 100, spread: 2, percentiles: { '0.05': lowest, '99': 130, '99.9': 150 } }) as unknown as Measured;

describe('levels', () => {
  const wish = { black: { noise: 3 }, white: { percentile: 99.9 } };

  it('put black below the level by so many times the noise, and white at the percentile', () => {
    expect(findLevels(measured(200), 100, wish)).toEqual({ background: 100, black: -6, white: 50 });
    expect(findLevels(measured(200), 98, wish)).toEqual({ background: 98, black: -4, white: 52 });
    const other = { black: { noise: 1 }, white: { percentile: 99 } };
    expect(findLevels(measured(200), 100, other)).toEqual({ background: 100, black: -2, white: 30 });
  });

  it('never put black below the lowest of two thousand pixels', () => {
    expect(findLevels(measured(200, 97), 100, wish).black).toBe(-3);
  });

  it('say which limit decided, and nothing where none did', () => {
    expect(findLevels(measured(200, 97), 100, wish).limits).toEqual({ black: 'percentile 0.05' });
    expect(findLevels(measured(200, 94), 100, wish)).not.toHaveProperty('limits');
    expect(findLevels(measured(97, 97), 100, { ...wish, white: -5 }).limits).toEqual({
      black: 'percentile 0.05',
      white: 'width',
    });
  });

  it('are numbers where numbers are given', () => {
    expect(findLevels(measured(200), 100, { black: 4, white: 9 })).toEqual({ background: 100, black: 4, white: 9 });
  });

  it('are float32 values', () => {
    const { background, black, white } = findLevels(measured(200), 0.1, { black: 0.2, white: 0.3 });
    expect([background, black, white]).toEqual([0.1, 0.2, 0.3].map(Math.fround));
  });
});

describe('levels where white would not lie above black', () => {
  const wish = { black: 60, white: { percentile: 99.9 } };

  it('reach to the brightest pixel', () => {
    expect(findLevels(measured(170), 100, wish)).toEqual({
      background: 100,
      black: 60,
      white: 70,
      limits: { white: 'maximum' },
    });
  });

  it.each([102, 160])('have a width of 1 where even that is not above: maximum %d', (max) => {
    expect(findLevels(measured(max), 100, wish)).toEqual({
      background: 100,
      black: 60,
      white: 61,
      limits: { white: 'width' },
    });
  });

  it('have a thousandth of black where that is more', () => {
    expect(findLevels(measured(102), 100, { ...wish, black: 8000 }).white).toBe(8008);
    expect(findLevels(measured(102), 9000, { black: -8000, white: -8000 }).white).toBe(-7992);
  });
});

describe('one scale for all channels', () => {
  const levels = [
    { background: 7, black: 0, white: 10 },
    { background: 8, black: 5, white: 10 },
  ];

  it('gives each the widest that any needs, over its factor', () => {
    expect(shareScale(levels, [1, 1])).toEqual([levels[0], { ...levels[1], white: 15 }]);
    // Widths 10 and 4 · 5 on common footing: 20, which is 5 of the second's own units.
    expect(shareScale(levels, [1, 4])).toEqual([{ ...levels[0], white: 20 }, levels[1]]);
    expect(shareScale(levels, [2, 10])).toEqual([{ ...levels[0], white: 25 }, levels[1]]);
  });

  it.each([undefined, 0, -1, Number.NaN, Number.POSITIVE_INFINITY])('leaves out a channel with factor %s', (factor) => {
    expect(shareScale(levels, [1, factor])).toEqual(levels);
    expect(shareScale(levels, [factor, 1])).toEqual(levels);
    const wide = [{ background: 0, black: 0, white: 999 }, ...levels];
    expect(shareScale(wide, [factor, 1, 1])).toEqual([wide[0], levels[0], { ...levels[1], white: 15 }]);
  });

  it('stays on float32 values', () => {
    const [first] = shareScale([{ background: 0, black: Math.fround(0.1), white: 1 }], [3]);
    expect(first!.white).toBe(Math.fround(first!.white));
  });
});

describe('a value’s place', () => {
  it('runs from 0 at black to 1 at white', () => {
    const levels = { background: 100, black: -4, white: 16 };
    expect([96, 101, 116, 136].map((value) => valueShare(value, levels))).toEqual([0, 0.25, 1, 2]);
    expect(backgroundShare(measured(200), levels)).toBe(0.2);
  });
});
