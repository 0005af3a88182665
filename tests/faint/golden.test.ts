import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { addRows, emptyBins, halved } from '../../lib/faint/bins.ts';
import { FIELD_DENSITY } from '../../lib/faint/kernels.ts';
import { octaveOf } from '../../lib/faint/octave.ts';
import { thresholdFor } from '../../lib/faint/threshold.ts';
import type { LineNoise } from '../../lib/plane/line-noise.ts';
import { normals } from '../smooth/fields.ts';

interface Golden {
  readonly field: { readonly width: number; readonly height: number; readonly seed: number };
  readonly noise: LineNoise;
  readonly light: number;
  readonly flats: number;
  readonly density: number;
  readonly thresholds: readonly [blobs: number, bins: number, u: number][];
  readonly octaves: readonly { size: number; known: number; z: readonly [x: number, y: number, z: number][] }[];
}
const golden: Golden = JSON.parse(readFileSync(new URL('../golden/faint.json', import.meta.url), 'utf8'));

/** A disc and a slope in noise, without data in a corner; two round holes of whole bins for stars. */
const fieldBins = ({ width, height, seed }: Golden['field']) => {
  const normal = normals(seed);
  const data = Float32Array.from({ length: width * height }, (_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    const value = 100 + 20 * Math.exp(-((x - 150) ** 2 + (y - 90) ** 2) / 400) + 0.01 * x + 3 * normal();
    return x + y >= 60 ? value : Number.NaN;
  });
  const bins = emptyBins(width, height);
  addRows(bins, data, width, 0, height, 100);
  for (let v = 0; v < bins.height; v++)
    for (let u = 0; u < bins.width; u++)
      if ((u - 90) ** 2 + (v - 60) ** 2 <= 36 || (u - 30) ** 2 + (v - 80) ** 2 <= 9) {
        bins.sums[v * bins.width + u] = 0;
        bins.counts[v * bins.width + u] = 0;
      }
  return bins;
};

it('gives the octaves that an independent program gives', () => {
  const { noise, light, flats } = golden;
  let bins = fieldBins(golden.field);
  for (const { size, known, z } of golden.octaves) {
    if (size > bins.size) bins = halved(bins);
    const octave = octaveOf(bins, { noise, level: 100, light }, flats * light);
    expect(octave.size).toBe(size);
    expect(octave.known).toBe(known);
    for (const [x, y, value] of z) expect(octave.z[y * octave.width + x]).toBeCloseTo(value, 3);
  }
});

it('gives its thresholds', () => {
  expect(FIELD_DENSITY).toBeCloseTo(golden.density, 6);
  for (const [blobs, bins, u] of golden.thresholds) expect(thresholdFor(blobs, bins)).toBeCloseTo(u, 3);
});
