import { expect, it } from 'vitest';
import { mutate, seededRandom } from './mutate.ts';

const seed = Uint8Array.from({ length: 400 }, (_, i) => 32 + (i % 90));

it('gives the same numbers for the same seed, spread over [0, 1)', () => {
  const [one, two, other] = [seededRandom(7), seededRandom(7), seededRandom(8)];
  const numbers = Array.from({ length: 10_000 }, one);
  expect(Array.from({ length: 10_000 }, two)).toEqual(numbers);
  expect(other()).not.toBe(numbers[0]);
  expect(Math.min(...numbers)).toBeGreaterThanOrEqual(0);
  expect(Math.max(...numbers)).toBeLessThan(1);
  expect(numbers.reduce((sum, number) => sum + number, 0) / 10_000).toBeCloseTo(0.5, 1);
});

it('changes a copy in many ways and keeps it short', () => {
  const random = seededRandom(1);
  const before = seed.slice();
  const results = Array.from({ length: 5000 }, () => mutate(seed, random));
  expect(seed).toEqual(before);
  expect(Math.max(...results.map((bytes) => bytes.length))).toBeLessThanOrEqual(864);
  expect(results.filter((bytes) => bytes.length < 400).length).toBeGreaterThan(500);
  expect(results.filter((bytes) => bytes.length > 400).length).toBeGreaterThan(500);
  expect(results.filter((bytes) => Buffer.compare(bytes, seed) !== 0).length).toBeGreaterThan(4500);
  expect(results.some((bytes) => Buffer.from(bytes).includes('9223372036854775808'))).toBe(true);
});

it('leaves nothing as nothing', () => {
  expect(mutate(new Uint8Array(0), seededRandom(1))).toEqual(new Uint8Array(0));
});
