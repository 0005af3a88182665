import { describe, expect, it } from 'vitest';
import { filterRow } from '../../../lib/formats/png/filter.ts';
import { random } from '../../../samples/scene/random.ts';

const [NONE, SUB, UP, AVERAGE] = [0, 1, 2, 3];

const filtered = (row: Uint8Array, above: Uint8Array, pixelBytes: number): Uint8Array => {
  const into = new Uint8Array(row.length + 1);
  filterRow(row, above, pixelBytes, into);
  return into;
};

/** PNG 3rd edition §9.2, read backwards: what a decoder makes of a filtered row. */
const decoded = (stored: Uint8Array, above: Uint8Array, pixelBytes: number): number[] => {
  const row: number[] = [];
  for (let i = 0; i < stored.length - 1; i++) {
    const left = row[i - pixelBytes] ?? 0;
    const prediction = [0, left, above[i]!, Math.floor((left + above[i]!) / 2)][stored[0]!]!;
    row.push((stored[i + 1]! + prediction) & 0xff);
  }
  return row;
};

/** Bits that bytes take where each value takes −log₂ of its share (C. E. Shannon, 1948). */
const entropy = (bytes: readonly number[]): number => {
  const counts = new Map<number, number>();
  for (const byte of bytes) counts.set(byte & 0xff, (counts.get(byte & 0xff) ?? 0) + 1);
  return [...counts.values()].reduce((sum, n) => sum - n * Math.log2(n / bytes.length), 0);
};

const rng = random(11, 1);
const noise = (length: number, reach: number) => Uint8Array.from({ length }, () => Math.floor(reach * rng.uniform()));
const ramp = (length: number, step: number) => Uint8Array.from({ length }, (_, i) => step * i);

/** Neighbours that vary by themselves about a slope: the mean of two foretells better than either. */
const slope = (): [Uint8Array, Uint8Array] => {
  const row = ramp(300, 1).map((v, i) => v + noise(1, 9)[0]! * Number(i >= 0));
  return [row, row.map((v, i) => v + noise(1, 9)[0]! - noise(1, 9)[0]! * Number(i >= 0))];
};

describe('the filter of a row', () => {
  it.each<[string, Uint8Array, Uint8Array, number]>([
    ['one value everywhere', new Uint8Array(300).fill(7), noise(300, 256), NONE],
    ['noise', noise(300, 40), noise(300, 40), NONE],
    ['a ramp', ramp(300, 1), noise(300, 256), SUB],
    // Sub would leave a single odd byte, the first.
    ['a ramp below the same ramp', ramp(300, 1), ramp(300, 1), UP],
    ['noise below the same noise', noise(300, 256), new Uint8Array(0), UP],
    ['a slope across noise', ...slope(), AVERAGE],
  ])('suits it: %s', (_, row, above, type) => {
    const over = above.length === 0 ? row.map((v) => v + 3) : above;
    const stored = filtered(row, over, 3);
    expect(stored[0]).toBe(type);
    expect(decoded(stored, over, 3)).toEqual([...row]);
  });

  it('is the one that leaves least to code', () => {
    const found = new Set<number>();
    for (let round = 0; round < 300; round++) {
      const pixelBytes = [3, 4, 6, 8][round % 4]!;
      const length = pixelBytes * (1 + Math.floor(60 * rng.uniform()));
      const [a, b, c] = [0, 1, 2].map(() => Math.floor(3 * rng.uniform()));
      const [shared, own] = [noise(length, 200), noise(length, 1 + 4 * a!)];
      const row = own.map((v, i) => v + b! * shared[i]! + c! * i);
      const above = noise(length, 1 + 4 * a!).map((v, i) => v + b! * shared[i]!);
      const left = [...row].map((_, i) => row[i - pixelBytes] ?? 0);
      const costs = [
        entropy([...row]),
        entropy([...row].map((v, i) => v - left[i]!)),
        entropy([...row].map((v, i) => v - above[i]!)),
        entropy([...row].map((v, i) => v - Math.floor((left[i]! + above[i]!) / 2))),
      ];
      const stored = filtered(row, above, pixelBytes);
      found.add(stored[0]!);
      expect(costs[stored[0]!]! - Math.min(...costs)).toBeLessThan(1e-6 * length);
      expect(decoded(stored, above, pixelBytes)).toEqual([...row]);
    }
    expect(found.size).toBe(4);
  });

  it('is none where all leave the same, and needs nothing left of the first pixel', () => {
    const stored = filtered(Uint8Array.of(9, 8, 7), Uint8Array.of(1, 2, 4), 3);
    expect([...stored]).toEqual([NONE, 9, 8, 7]);
  });

  it('of a long row is chosen by runs of 48 bytes spread over it', () => {
    // Three times as long as what is looked at: runs begin at 0, 144, 288 …
    const row = noise(3 * 3072, 256).map((v, i) => (i % 144 < 48 ? 5 : v));
    expect(filtered(row, row, 3)[0]).toBe(NONE);
  });
});
