import { describe, expect, it } from 'vitest';
import type { Measured } from '../../lib/plane/measured.ts';
import { findLevels } from '../../lib/prepare/levels.ts';

const measured = (max: number): Measured =>
  ({ max, level: 100, noise: 2, percentiles: { '0.05': 90, '99.9': 100 } }) as unknown as Measured;

describe('levels where white would not lie above black', () => {
  const wish = { black: 3, white: { percentile: 99.9 } };

  it('reach to the brightest pixel', () => {
    expect(findLevels(measured(108), 100, wish)).toEqual({ background: 100, black: 3, white: 8 });
  });

  it.each([102, 103])('have a width of 1 where even that is not above: maximum %d', (max) => {
    expect(findLevels(measured(max), 100, wish)).toEqual({ background: 100, black: 3, white: 4 });
  });
});
