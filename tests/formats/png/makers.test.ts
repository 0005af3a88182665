import { crc32, inflateSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { zlibEnd } from '../../../lib/formats/deflate/zlib.ts';
import { fastMaker } from '../../../lib/formats/png/fast-maker.ts';
import { plainMaker } from '../../../lib/formats/png/plain-maker.ts';
import { type OutputRows, type OutputSample, outputRows } from '../../../lib/plane/picture.ts';
import { random } from '../../../samples/scene/random.ts';
import { info } from '../pictures.ts';

const rng = random(11, 4);
const below = (n: number) => Math.floor(n * rng.uniform());

/** Rows of all kinds, one after the other: flat, gradients, noise of every spread, equal channels, what came before. */
const drawRows = (width: number, height: number, bands: 3 | 4, sample: OutputSample): OutputRows => {
  const rows = outputRows(sample, width * height * bands);
  const row = width * bands;
  for (let y = 0; y < height; ) {
    const [kind, spread, value] = [below(6), 1 + below(2 ** (1 + below(16))), below(65536)];
    for (const end = Math.min(height, y + 1 + below(9)); y < end; y++)
      for (let i = y * row; i < (y + 1) * row; i++) {
        const noise = below(spread);
        if (kind === 0) rows[i] = value;
        else if (kind === 1) rows[i] = value + noise;
        else if (kind === 2) rows[i] = i % bands === 2 ? rows[i - 1]! : value + (i >> 3) + noise;
        else if (kind === 3) rows[i] = y > 3 ? rows[i - 3 * row]! : noise;
        else if (kind === 4) rows[i] = below(9) > 0 ? value : noise;
        else rows[i] = noise * (i % bands);
      }
  }
  return rows;
};

/** What a row was before its filter (PNG third edition §9.2), none of the library's code. */
const unfiltered = (bytes: Uint8Array, rowBytes: number, pixel: number, first: Uint8Array): Uint8Array => {
  const out = new Uint8Array((bytes.length / (rowBytes + 1)) * rowBytes);
  for (let y = 0, i = 0; i < out.length; y++)
    for (let x = 0; x < rowBytes; x++, i++) {
      const type = bytes[y * (rowBytes + 1)]!;
      const left = x < pixel ? 0 : out[i - pixel]!;
      const up = y === 0 ? first[x]! : out[i - rowBytes]!;
      out[i] =
        bytes[y * (rowBytes + 1) + 1 + x]! + (type === 0 ? 0 : type === 1 ? left : type === 2 ? up : (left + up) >> 1);
    }
  return out;
};

const bigEndian = (rows: OutputRows): Uint8Array => {
  if (rows instanceof Uint8Array) return rows;
  return Uint8Array.from({ length: 2 * rows.length }, (_, i) => (rows[i >> 1]! >> (i % 2 ? 0 : 8)) & 255);
};

describe('blocks of rows', () => {
  for (const [bands, sample] of [
    [3, 'u8'],
    [4, 'u8'],
    [3, 'u16'],
    [4, 'u16'],
  ] as const)
    it(`are the same from the kernel as from plain code, and come back from zlib: ${bands} × ${sample}`, () => {
      for (const width of [1, 2, 3, 5, 6, 16, 17, 61, 700, 4000]) {
        const height = Math.min(40, 1 + below((width === 4000 ? 60_000 : 20_000) / width));
        const picture = info(width, height, bands, sample);
        const rows = drawRows(width, height + 1, bands, sample);
        const row = width * bands;
        for (const above of [undefined, rows.subarray(0, row)]) {
          const taken = rows.subarray(row);
          const plain = plainMaker(picture)(taken, above, true);
          const fast = fastMaker(picture, height)!(taken, above, true);
          expect(Buffer.from(fast.chunk).equals(plain.chunk), `${width} × ${height}`).toBe(true);
          expect([fast.sum, fast.length]).toEqual([plain.sum, plain.length]);
          const { chunk } = fast;
          expect(Buffer.from(chunk).readUInt32BE(chunk.length - 4)).toBe(crc32(chunk.subarray(4, -4)));
          const bytes = inflateSync(Buffer.concat([chunk.subarray(8, -4), zlibEnd(fast.sum)]));
          const first = above ? bigEndian(above) : new Uint8Array(row * 2);
          const pixel = bands * rows.BYTES_PER_ELEMENT;
          const back = unfiltered(bytes, row * rows.BYTES_PER_ELEMENT, pixel, first);
          expect(Buffer.from(back).equals(bigEndian(taken))).toBe(true);
        }
      }
    });
});
