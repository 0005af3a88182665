import { describe, expect, it } from 'vitest';
import type { Registered } from '../../../lib/measure/registration/register.ts';
import { misfitInWords } from '../../../lib/measure/registration/words.ts';

const placed = { channel: 'O', reference: 'H', width: 6000, height: 4000 };
const found = (misfit: Partial<Registered>): Registered => ({
  status: 'found',
  dx: 0,
  dy: 0,
  rotation: 0,
  scale: 1,
  residual: 0.05,
  uncertainty: { shift: 0.01, rotation: 0.0001, scale: 1e-6 },
  tiles: [],
  ...misfit,
});

describe('a misfit in words', () => {
  it.each([
    [{ dx: 3.3, dy: -1.6 }, 'O is 3.3 px right and 1.6 px up of H; register the masters again'],
    [{ dx: -0.7 }, 'O is 0.7 px left of H; register the masters again, or move it by whole pixels: 1 px right'],
    [
      { dx: 3.02, dy: -2.01 },
      'O is 3.0 px right and 2.0 px up of H; register the masters again, or move it by whole pixels: 3 px left and 2 px down',
    ],
    [
      { rotation: 2.5 },
      'O is turned 2.50° clockwise against H (up to 157 px in the corners); register the masters again',
    ],
    [{ scale: 0.999 }, 'O is 0.10 % smaller against H (up to 3.6 px in the corners); register the masters again'],
    [
      { dx: 3.25, rotation: -0.1 },
      'O is 3.3 px right of H, turned 0.10° anticlockwise (up to 8.5 px in the corners); register the masters again',
    ],
  ])('%j', (misfit, words) => {
    expect(misfitInWords(found(misfit), placed)).toBe(words);
  });

  it('is silent below half a pixel', () => {
    expect(misfitInWords(found({ dx: 0.3, dy: 0.3 }), placed)).toBeUndefined();
  });

  it('is silent where the measurement cannot tell', () => {
    const uncertainty = { shift: 0.4, rotation: 0, scale: 0 };
    expect(misfitInWords(found({ dx: 0.9, uncertainty }), placed)).toBeUndefined();
  });
});
