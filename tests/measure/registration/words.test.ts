import { describe, expect, it } from 'vitest';
import type { Registered } from '../../../lib/measure/registration/report.ts';
import { apartBy, doubtOf, misfitInWords, reversed } from '../../../lib/measure/registration/words.ts';

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
    [{ dx: 3.3, dy: -1.6 }, 'O lies 3.3 px right and 1.6 px up of H. Register the masters again.'],
    [{ dx: -0.7 }, 'O lies 0.7 px left of H. Register the masters again, or move O by whole pixels: 1 px right.'],
    [
      { dx: 3.02, dy: -2.01 },
      'O lies 3.0 px right and 2.0 px up of H. Register the masters again, or move O by whole pixels: 3 px left and 2 px down.',
    ],
    [
      { rotation: 2.5 },
      'O is turned 2.50° clockwise against H (up to 157 px in the corners). Register the masters again.',
    ],
    [{ scale: 0.999 }, 'O is 0.10 % smaller against H (up to 3.6 px in the corners). Register the masters again.'],
    [
      { dx: 3.25, rotation: -0.1 },
      'O lies 3.3 px right of H and is turned 0.10° anticlockwise (up to 8.5 px in the corners). Register the masters again.',
    ],
    [
      { rotation: 0.1, scale: 1.01 },
      'O is turned 0.10° clockwise and 1.00 % larger against H (up to 36.6 px in the corners). Register the masters again.',
    ],
  ])('%j', (misfit, words) => {
    expect(misfitInWords(found(misfit), placed)).toBe(words);
  });

  it('is silent below half a pixel', () => {
    expect(misfitInWords(found({ dx: 0.3, dy: 0.3 }), placed)).toBeUndefined();
  });

  it('is silent where the measurement cannot tell', () => {
    const uncertain = { shift: 0.4, rotation: 0, scale: 0 };
    expect(misfitInWords(found({ dx: 1.6, uncertainty: uncertain }), placed)).toBeUndefined();
    expect(doubtOf(found({ uncertainty: uncertain }), placed)).toBeCloseTo(0.4 * Math.SQRT2, 12);
    expect(misfitInWords(found({ dx: 1.8, uncertainty: uncertain }), placed)).toBeDefined();
  });

  it('seen from the other side is what brings it back', () => {
    const one = found({ dx: 3.25, dy: -1.5, rotation: 40, scale: 1.1 });
    const back = reversed(reversed(one));
    expect([back.dx, back.dy, back.rotation, back.scale]).toEqual(
      [3.25, -1.5, 40, 1.1].map((v) => expect.closeTo(v, 10)),
    );
    expect(reversed(found({ dx: 2, dy: 1 }))).toMatchObject({ dx: -2, dy: -1 });
    expect(apartBy(one, one, placed)).toBeCloseTo(0, 10);
    expect(apartBy(found({ dx: 3 }), found({ dy: 4 }), placed)).toBeCloseTo(5, 10);
  });
});
