import { expect, it } from 'vitest';
import { blockCache } from '../../../lib/formats/fits/block-cache.ts';
import { plainBytes } from '../../../lib/formats/fits/bytes.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { seededRandom } from '../../fuzz/mutate.ts';

const random = seededRandom(2);
const bytes = Uint8Array.from({ length: 2_500_000 }, () => random() * 256);

/** A source that reuses its buffer, as it may, and counts its reads. */
const reusing = () => {
  const shared = new Uint8Array(bytes.length);
  const calls = { count: 0 };
  const source = {
    ...memorySource('a', bytes),
    async read(offset: number, length: number) {
      calls.count++;
      shared.set(bytes.subarray(offset, offset + length));
      return shared.subarray(0, length);
    },
  };
  return { calls, read: blockCache(plainBytes(source), 1000, bytes.length) };
};

it('gives the bytes asked for, within a block, over two and over many', async () => {
  const { read } = reusing();
  const places = [
    [1000, 10],
    [263_140, 20],
    [263_144, 1],
    [2_499_999, 1],
    [1000, 1_000_000],
    [525_000, 300_000],
    [2_000_000, 400_000],
  ] as const;
  for (const [offset, length] of [...places, ...places])
    expect(await read(offset, length)).toEqual(bytes.slice(offset, offset + length));
});

it('reads neighbours once and forgets what lies far back', async () => {
  const { read, calls } = reusing();
  for (let i = 0; i < 1000; i++) await read(1000 + i * 200, 200);
  expect(calls.count).toBe(1);
  for (let i = 1; i < 6; i++) await read(1000 + i * 2 ** 18, 1);
  await read(1000, 1);
  expect(calls.count).toBe(7);
});
