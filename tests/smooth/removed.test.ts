import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { noiseLeft, reachOfScales, scaleDeviations } from '../../lib/smooth/noise-model.ts';
import { plainOperations } from '../../lib/smooth/plain-operations.ts';
import { removedRows } from '../../lib/smooth/removed.ts';
import { field, NOISE, normals } from './fields.ts';

interface Golden {
  readonly cases: readonly {
    readonly width: number;
    readonly height: number;
    readonly seed: number;
    readonly holes: boolean;
    readonly scales: number;
    readonly neighbours: number;
    readonly pixels: readonly (readonly [x: number, y: number, first: number, third: number])[];
  }[];
}

const golden: Golden = JSON.parse(readFileSync(new URL('../golden/smooth.json', import.meta.url), 'utf8'));
const plain = plainOperations();

const removed = (planes: readonly Float32Array[], width: number, scales = 4, neighbours = 0) => {
  const height = planes[0]!.length / width;
  const noise = NOISE.map((of) => ({ ...of, neighbours }));
  const frame = { width, height, top: 0, rows: height, members: planes };
  return removedRows(plain, frame, { scales, noise, guide: 1, lines: [0, 2] }, 0, height);
};

describe('what smoothing removes', () => {
  it('agrees with independent computations to 1e-4 of the noise', () => {
    for (const { width, height, seed, holes, scales, neighbours, pixels } of golden.cases) {
      const found = removed(field(width, height, seed, holes), width, scales, neighbours);
      expect(pixels.length).toBeGreaterThan(40);
      for (const [x, y, ...wanted] of pixels)
        for (const k of [0, 1]) expect(Math.abs(found[k]![y * width + x]! - wanted[k]!)).toBeLessThan(1e-4);
    }
  });

  it('takes what lies beyond the frame for undefined', () => {
    const [width, height, left, top] = [83, 61, 32, 24];
    const planes = field(width, height, 11, false);
    const wide = width + 71;
    const around = planes.map((plane) => {
      const larger = new Float32Array(wide * (height + 55)).fill(Number.NaN);
      for (let y = 0; y < height; y++) larger.set(plane.subarray(y * width, (y + 1) * width), (top + y) * wide + left);
      return larger;
    });
    const [alone, within] = [removed(planes, width), removed(around, wide)];
    for (const k of [0, 1])
      for (let y = 0; y < height; y++) {
        const start = (top + y) * wide + left;
        expect(within[k]!.subarray(start, start + width)).toEqual(alone[k]!.subarray(y * width, (y + 1) * width));
      }
  });

  it('depends on no pixel beyond the reach, and on one at it', () => {
    for (const scales of [2, 3, 4]) {
      const [width, height] = [4, 2 * reachOfScales(scales) + 8];
      const planes = field(width, height, 12, false);
      const before = removed(planes, width, scales)[0]!;
      let farthest = 0;
      for (let y = 0; y < height; y++) {
        const touched = planes.map((plane, k) => plane.map((v, i) => (k === 1 && i === y * width ? Number.NaN : v)));
        const after = removed(touched, width, scales)[0]!;
        for (let i = 0; i < after.length; i++)
          if (after[i] !== before[i]) farthest = Math.max(farthest, Math.abs(Math.floor(i / width) - y));
      }
      expect(farthest).toBe(reachOfScales(scales));
    }
  });

  it('is hardly changed by a single undefined pixel, whatever is stored there', () => {
    const width = 90;
    const planes = field(width, 70, 13, false);
    const hole = 35 * width + 45;
    const holed = (value: number) => planes.map((plane, k) => plane.map((v, i) => (k === 1 && i === hole ? value : v)));
    const [whole, once] = [removed(planes, width), removed(holed(Number.NaN), width)];
    expect(removed(holed(Number.NEGATIVE_INFINITY), width)).toEqual(once);
    let sum = 0;
    for (let i = 0; i < once[0]!.length; i++) {
      expect(Number.isFinite(once[0]![i]!)).toBe(true);
      if (i !== hole) sum += (once[0]![i]! - whole[0]![i]!) ** 2;
    }
    expect(Math.sqrt(sum / once[0]!.length)).toBeLessThan(0.05);
  });
});

describe('the noise of scales', () => {
  it('is that of the kernels', () => {
    // Starck, Fadili & Murtagh 2007 give the white figures to three digits.
    const white = [0.8908, 0.20066, 0.08551, 0.04122, 0.02042, 0.01019];
    for (const [j, f] of scaleDeviations(6, 0).entries()) expect(f).toBeCloseTo(white[j]!, 4);
    for (const [r, wanted] of [
      [0.25, [0.804, 0.27, 0.125, 0.061]],
      [0.5, [0.679, 0.34, 0.165, 0.082]],
    ] as const)
      for (const [j, f] of scaleDeviations(4, r).entries()) expect(f).toBeCloseTo(wanted[j]!, 3);
  });

  it('leaves of pure noise what the kernels say, and hardly a structure', () => {
    const [width, height] = [256, 256];
    const normal = normals(21);
    const planes = NOISE.map(({ level, variance }) =>
      Float32Array.from({ length: width * height }, () => level + Math.sqrt(variance) * normal()),
    );
    const [first] = removed(planes, width);
    const left = first!.map((r, i) => (planes[0]![i]! - NOISE[0]!.level) / 3 - r);
    const rms = Math.sqrt(left.reduce((sum, v) => sum + v * v, 0) / left.length);
    // Where noise happens to look like structure some of it is kept.
    expect(rms).toBeGreaterThan(noiseLeft(4, 0, 1));
    expect(rms).toBeLessThan(0.12);
    expect(noiseLeft(4, 0, 0)).toBe(1);
  });
});
