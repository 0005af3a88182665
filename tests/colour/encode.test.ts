import { describe, expect, it } from 'vitest';
import { clampUnit, quantise } from '../../lib/colour/encode.ts';

describe('quantise', () => {
  it.each([
    [0, 255, 0],
    [1, 255, 255],
    [0.5, 255, 128],
    [0.25, 255, 64],
    [0.25, 65535, 16384],
    [0.4999 / 255, 255, 0],
    [0.5 / 255, 255, 1],
    [254.49 / 255, 255, 254],
    [-0.1, 255, 0],
    [7, 65535, 65535],
    [Number.NaN, 255, 0],
    [Number.POSITIVE_INFINITY, 255, 255],
    [Number.NEGATIVE_INFINITY, 255, 0],
  ])('%d of %d is %d', (value, full, code) => expect(quantise(value, full)).toBe(code));

  it.each([255, 65535])('gives each of the %d codes back', (full) => {
    for (let code = 0; code <= full; code++) if (quantise(code / full, full) !== code) expect.fail(`code ${code}`);
  });
});

it('clampUnit', () => expect([-1, 0, 0.3, 1, 2, Number.NaN].map(clampUnit)).toEqual([0, 0, 0.3, 1, 1, 0]));
