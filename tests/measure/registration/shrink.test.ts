import { expect, it } from 'vitest';
import { readShrunk, shrunk } from '../../../lib/measure/registration/shrink.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { randomNumbers } from '../../parity/settled-cases.ts';

/** The mean of what is finite in each whole block, added up row by row. */
const meansOf = (values: Float32Array, width: number, height: number, factor: number): Float32Array => {
  const [across, down] = [Math.floor(width / factor), Math.floor(height / factor)];
  return Float32Array.from({ length: across * down }, (_, i) => {
    const [left, top] = [(i % across) * factor, Math.floor(i / across) * factor];
    const rows = Array.from({ length: factor }, (_, r) => {
      const at = (top + r) * width + left;
      return [...values.subarray(at, at + factor)].filter(Number.isFinite);
    });
    return rows.reduce((sum, row) => sum + row.reduce((a, b) => a + b, 0), 0) / rows.flat().length;
  });
};

it.each([2, 3, 7])('takes the mean of the data in blocks of %i, and nothing where there is none', async (factor) => {
  const [width, height] = [50, 33];
  const next = randomNumbers(factor);
  const values = Float32Array.from({ length: width * height }, () => {
    const chance = next();
    if (chance < 0.05)
      return [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY][Math.floor(60 * chance)]!;
    return next() - 0.5;
  });
  for (let y = 0; y < factor; y++) values.fill(Number.NaN, y * width, y * width + factor);
  const wanted = meansOf(values, width, height, factor);
  expect(wanted.filter(Number.isNaN)).toHaveLength(1);
  expect(shrunk({ width, height, values }, factor).values).toEqual(wanted);
  expect((await readShrunk(planeSource('x.fits', { width, height, data: values }), factor)).values).toEqual(wanted);
});
