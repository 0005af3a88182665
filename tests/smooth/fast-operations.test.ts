import { describe, expect, it } from 'vitest';
import { fastOperations } from '../../lib/smooth/fast-operations.ts';
import { plainOperations } from '../../lib/smooth/plain-operations.ts';
import { removedRows } from '../../lib/smooth/removed.ts';
import { randomNumbers } from '../parity/settled-cases.ts';
import { field, NOISE } from './fields.ts';

const fast = fastOperations()!;
const plain = plainOperations();

describe('the fast operations', () => {
  it('give the bytes of the plain ones, tile after tile', () => {
    const next = randomNumbers(31);
    for (let i = 0; i < 24; i++) {
      const [width, height] = [3 + Math.floor(160 * next()), 3 + Math.floor(120 * next())];
      const planes = field(width, height, 100 + i, next() < 0.5 && width > 80 && height > 60);
      const noise = NOISE.map((of) => ({ ...of, neighbours: next() < 0.5 ? 0 : 0.5 * next() }));
      const scales = next() < 0.3 ? 6 * next() : 1 + Math.floor(6 * next());
      const lines = next() < 0.3 ? [0, 1, 2] : [0, 2];
      const frame = { width, height, top: 0, rows: height, members: planes };
      const smoothing = { scales, noise, guide: 1, lines };
      const wanted = removedRows(plain, frame, smoothing, 0, height);
      for (const [k, found] of removedRows(fast, frame, smoothing, 0, height).entries())
        expect(new Uint32Array(found.buffer)).toEqual(new Uint32Array(wanted[k]!.buffer));
    }
  });

  it('do so where the light is without measure', () => {
    const frame = { width: 40, height: 30, top: 0, rows: 30 };
    for (const peak of [1e3, 1e9, -1e30, 3e38]) {
      const members = NOISE.map((_, k) => Float32Array.from({ length: 1200 }, (_, i) => (i % 97 === k ? peak : i % 7)));
      const smoothing = { scales: 4, noise: NOISE, guide: 1, lines: [0, 2] };
      const wanted = removedRows(plain, { ...frame, members }, smoothing, 0, 30);
      expect(wanted.every((plane) => plane.every(Number.isFinite))).toBe(true);
      expect(removedRows(fast, { ...frame, members }, smoothing, 0, 30)).toEqual(wanted);
    }
  });
});
