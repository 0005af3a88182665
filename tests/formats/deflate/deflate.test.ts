import { deflateRawSync, inflateRawSync, inflateSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { codeLengths, codesOf } from '../../../lib/formats/deflate/huffman.ts';
import { LONG, SHORT } from '../../../lib/formats/deflate/matches.ts';
import { deflateBlocks } from '../../../lib/formats/deflate/plain.ts';
import { adler32, joinAdler32, ZLIB_HEAD, zlibEnd } from '../../../lib/formats/deflate/zlib.ts';
import { random } from '../../../samples/scene/random.ts';

const rng = random(5, 3);
const below = (n: number) => Math.floor(n * rng.uniform());

/** Bytes as filtered rows have them, and as they never do: noise of every spread, runs of every length, few values. */
const drawBytes = (length: number): Uint8Array => {
  const bytes = new Uint8Array(length);
  for (let i = 0; i < length; ) {
    const kind = below(4);
    const end = Math.min(length, i + 1 + below(kind === 0 ? 700 : 60));
    const spread = 1 + below(256);
    const value = below(256);
    for (; i < end; i++) bytes[i] = kind === 0 ? value : kind === 1 ? below(spread) : value + below(3);
  }
  return bytes;
};

/** A whole deflate stream of one block: the empty last block with the fixed code behind it. */
const inflated = (block: Uint8Array): Buffer => inflateRawSync(Buffer.concat([block, Uint8Array.of(3, 0)]));

describe('a block', () => {
  it('comes back from zlib, for lengths and bytes of all kinds', () => {
    for (const length of [1, 2, 3, 4, 5, 8, 257, 258, 259, 260, 261, 262, 517, 1000, 65_536])
      for (let round = 0; round < 6; round++) {
        const bytes = drawBytes(length);
        for (const alike of [SHORT, LONG] as const)
          expect(inflated(deflateBlocks(bytes, alike)).equals(bytes)).toBe(true);
      }
  });

  it('comes back where it has several codes, and bytes of one are found in another', () => {
    const rows = drawBytes(9973);
    const bytes = Uint8Array.from({ length: 300_000 }, (_, i) => rows[i % rows.length]!);
    for (const alike of [SHORT, LONG] as const) {
      const blocks = deflateBlocks(bytes, alike);
      expect(inflated(blocks).equals(bytes)).toBe(true);
      expect(blocks.length).toBeLessThan(1.2 * deflateRawSync(bytes, { level: 6 }).length);
    }
  });

  it('holds runs of every length', () => {
    for (let length = 1; length < 800; length++) {
      const bytes = new Uint8Array(length + 2).fill(9);
      bytes[0] = 1;
      bytes[length + 1] = 2;
      expect(inflated(deflateBlocks(bytes)).equals(bytes)).toBe(true);
    }
  });

  it('finds what repeats, and is then no longer than zlib makes it', () => {
    const rows = drawBytes(997);
    const bytes = Uint8Array.from({ length: 60_000 }, (_, i) => rows[i % 997]! & 15);
    const block = deflateBlocks(bytes);
    expect(inflated(block).equals(bytes)).toBe(true);
    expect(block.length).toBeLessThan(1.01 * deflateRawSync(bytes, { level: 6 }).length);
  });

  it('codes noise within a hundredth of its entropy, and a flat field to almost nothing', () => {
    const bytes = Uint8Array.from({ length: 100_000 }, () => Math.round(8 * rng.normal()));
    const counts = new Map<number, number>();
    for (const byte of bytes) counts.set(byte, (counts.get(byte) ?? 0) + 1);
    const bits = [...counts.values()].reduce((sum, n) => sum - n * Math.log2(n / bytes.length), 0);
    expect(deflateBlocks(bytes).length).toBeLessThan((1.01 * bits) / 8 + 200);
    expect(deflateBlocks(new Uint8Array(100_000)).length).toBeLessThan(300);
  });
});

describe('a zlib stream', () => {
  it('comes back from zlib however it was cut, with its checksum', () => {
    for (let round = 0; round < 30; round++) {
      const bytes = drawBytes(1 + below(30_000));
      const parts: Uint8Array[] = [ZLIB_HEAD];
      let sum = 1;
      for (let at = 0; at < bytes.length; ) {
        const end = Math.min(bytes.length, at + 1 + below(9000));
        const part = bytes.subarray(at, end);
        parts.push(deflateBlocks(part));
        // As if each part were compressed by a thread of its own.
        sum = joinAdler32(sum, adler32(part), part.length);
        at = end;
      }
      parts.push(zlibEnd(sum));
      expect(sum).toBe(adler32(bytes));
      expect(inflateSync(Buffer.concat(parts)).equals(bytes)).toBe(true);
    }
  });

  it('has the checksum of RFC 1950 also over long stretches of large bytes', () => {
    const bytes = new Uint8Array(200_001).fill(255);
    let [a, b] = [1n, 0n];
    for (const byte of bytes) {
      a = (a + BigInt(byte)) % 65521n;
      b = (b + a) % 65521n;
    }
    expect(adler32(bytes)).toBe(Number((b << 16n) | a));
    expect(adler32(bytes.subarray(7), adler32(bytes.subarray(0, 7)))).toBe(adler32(bytes));
  });
});

describe('a prefix code', () => {
  const kraft = (lengths: Uint8Array) => lengths.reduce((sum, n) => sum + (n > 0 ? 2 ** -n : 0), 0);

  it('fills all codes there are, with none longer than the limit', () => {
    for (let round = 0; round < 400; round++) {
      const limit = below(2) === 0 ? 7 : 15;
      const size = limit === 7 ? 19 : 286;
      const steep = below(30);
      const frequencies = Uint32Array.from({ length: size }, () =>
        below(3) === 0 ? 0 : Math.min(2 ** 31, Math.floor(2 ** (steep * rng.uniform()))),
      );
      const lengths = codeLengths(frequencies, limit);
      const used = frequencies.filter((n) => n > 0).length;
      expect(Math.max(...lengths)).toBeLessThanOrEqual(limit);
      expect([...lengths].every((n, s) => n > 0 === frequencies[s]! > 0)).toBe(true);
      if (used > 1) expect(kraft(lengths)).toBe(1);
    }
  });

  it('takes as few bits as the best tree where the limit does not bind', () => {
    // The cost of a Huffman code is the sum of the weights of its inner nodes (D. A. Huffman, 1952).
    for (let round = 0; round < 60; round++) {
      const frequencies = Uint32Array.from({ length: 2 + below(30) }, () => 1 + below(500));
      const queue = [...frequencies].sort((a, b) => a - b);
      let least = 0;
      while (queue.length > 1) {
        const node = queue.shift()! + queue.shift()!;
        least += node;
        queue.push(node);
        queue.sort((a, b) => a - b);
      }
      const lengths = codeLengths(frequencies, 15);
      expect(lengths.reduce((sum, n, s) => sum + n * frequencies[s]!, 0)).toBe(least);
    }
  });

  it('of Fibonacci weights, which want a chain, stays within the limit', () => {
    const frequencies = new Uint32Array(30);
    for (let i = 0; i < 30; i++) frequencies[i] = i < 2 ? 1 : frequencies[i - 1]! + frequencies[i - 2]!;
    const lengths = codeLengths(frequencies, 15);
    expect(Math.max(...lengths)).toBe(15);
    expect(kraft(lengths)).toBe(1);
  });

  it('is the one of RFC 1951 §3.2.2', () => {
    // Lengths (3, 3, 3, 3, 3, 2, 4, 4) give 010, 011, 100, 101, 110, 00, 1110, 1111; the stream holds them reversed.
    const codes = codesOf(Uint8Array.of(3, 3, 3, 3, 3, 2, 4, 4));
    expect([...codes]).toEqual([0b010, 0b110, 0b001, 0b101, 0b011, 0b00, 0b0111, 0b1111]);
  });
});
