import { describe, expect, it } from 'vitest';
import { median } from '../../../lib/plane/robust.ts';
import { selectRank, upperMedian } from '../../../lib/plane/select.ts';
import { bandFilters } from '../../../lib/prepare/combining/band-filters.ts';
import { SEGMENT, segmentOffset, segmentPad, stripSums } from '../../../lib/prepare/combining/lines.ts';
import { STARLET_NOISE, starletTransform } from '../../../lib/prepare/combining/starlet.ts';
import { random } from '../../../samples/scene/random.ts';

const [width, rows] = [23, 11];
const rng = random(1011, 1);
const plane = Float32Array.from({ length: width * rows }, () => rng.normal());
const at = (x: number, y: number) =>
  plane[Math.max(0, Math.min(rows - 1, y)) * width + Math.max(0, Math.min(width - 1, x))]!;
const around = (x: number, y: number, radius: number) => {
  const values: number[] = [];
  for (let dy = -radius; dy <= radius; dy++) for (let dx = -radius; dx <= radius; dx++) values.push(at(x + dx, y + dy));
  return values;
};
const eachPixel = (check: (x: number, y: number, index: number) => void) => {
  for (let y = 0; y < rows; y++) for (let x = 0; x < width; x++) check(x, y, y * width + x);
};

describe('filters over a band', () => {
  const filters = bandFilters({ width, rows });
  const out = new Float32Array(plane.length);

  it.each([1, 2, 3])('give means over squares of radius %i', (radius) => {
    filters.mean(plane, out, radius);
    eachPixel((x, y, i) => {
      const values = around(x, y, radius);
      expect(out[i]).toBeCloseTo(values.reduce((a, b) => a + b, 0) / values.length, 5);
    });
  });

  it('give ranges, and medians of three medians of three', () => {
    filters.range(plane, out, new Float32Array(plane.length));
    eachPixel((x, y, i) => {
      const values = around(x, y, 1);
      expect(out[i]).toBeCloseTo(Math.max(...values) - Math.min(...values), 5);
    });
    filters.despeckle(plane, out);
    eachPixel((x, y, i) => {
      const lines = [-1, 0, 1].map((dy) => median([at(x - 1, y + dy), at(x, y + dy), at(x + 1, y + dy)]));
      expect(out[i]).toBeCloseTo(median(lines), 6);
    });
  });
});

describe('the value at a rank', () => {
  it('is that of the sorted values, equal ones included', () => {
    for (let round = 0; round < 50; round++) {
      const values = Float64Array.from({ length: 1 + Math.floor(40 * rng.uniform()) }, () =>
        Math.floor(9 * rng.uniform()),
      );
      const rising = values.slice().sort();
      for (let k = 0; k < values.length; k++) expect(selectRank(values.slice(), k)).toBe(rising[k]);
      expect(upperMedian(values.slice())).toBe(rising[values.length >> 1]);
    }
    expect(upperMedian(new Float32Array(0))).toBeNaN();
  });
});

describe('the starlet transform', () => {
  it('adds up to the picture, and gives white noise the published deviations', () => {
    const [w, h] = [256, 256];
    const noise = Float32Array.from({ length: w * h }, () => rng.normal());
    const scales = STARLET_NOISE.map(() => new Float32Array(w * h));
    const transform = starletTransform(w, h);
    transform(noise, scales);
    for (const [k, scale] of scales.entries()) {
      const deviation = Math.sqrt(scale.reduce((sum, v) => sum + v * v, 0) / scale.length);
      expect(Math.abs(deviation / STARLET_NOISE[k]! - 1)).toBeLessThan(0.03);
    }
    const flat = new Float32Array(w * h).fill(7);
    transform(flat, scales);
    for (const scale of scales) expect(Math.max(...scale.map(Math.abs))).toBeLessThan(1e-5);
  });
});

describe('sums along segments', () => {
  it('are those of the pixels on them, in every direction', () => {
    const length = 50;
    const sums = stripSums(length);
    for (let r = 0; r < SEGMENT; r++)
      for (let x = 0; x < length; x++) sums.rows[r * sums.stride + segmentPad + x] = Math.floor(100 * rng.uniform());
    sums.sum();
    const pixel = (r: number, x: number) => sums.rows[r * sums.stride + segmentPad + x] ?? 0;
    for (let slope = 0; slope < SEGMENT; slope++) {
      expect([segmentOffset(slope, 0), segmentOffset(slope, SEGMENT - 1)]).toEqual([0, slope]);
      for (let start = 0; start < length - 1; start += 7) {
        const quarters = [0, 0, 0, 0];
        for (let r = 0; r < SEGMENT; r++) {
          const x = start + segmentOffset(slope, r);
          // No segment strays from the straight line by more than a pixel and a half.
          expect(Math.abs(x - start - (slope * r) / (SEGMENT - 1))).toBeLessThan(1.5);
          quarters[r >> 3]! += pixel(r, x) + pixel(r, x + 1);
        }
        expect(sums.pair(slope, start + segmentPad)).toBe(quarters.reduce((a, b) => a + b, 0));
        expect(sums.leastQuarter(slope, start + segmentPad)).toBe(Math.min(...quarters));
      }
    }
  });
});
