import { deflateSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { inflateStream } from '../../../lib/formats/tiff/inflate.ts';
import { lzwStream } from '../../../lib/formats/tiff/lzw.ts';
import { packBitsStream } from '../../../lib/formats/tiff/packbits.ts';
import { type ByteStream, type Pieces, piecesOf } from '../../../lib/formats/tiff/stream.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { formatError, LinewashError } from '../../../lib/plane/errors.ts';

type Open = (pieces: Pieces) => ByteStream;

/** Stored bytes handed out in pieces of one size, to meet every way of being cut. */
const cut = (bytes: Uint8Array, size: number): Pieces => {
  let at = 0;
  return {
    async next() {
      if (at >= bytes.length) return undefined;
      at += size;
      return bytes.slice(at - size, at);
    },
    fault: (message) => formatError('t', message),
  };
};

const decode = async (open: Open, bytes: Uint8Array, length: number, size = 1 << 16, take = length) => {
  const stream = open(cut(bytes, size));
  const out = new Uint8Array(length);
  for (let at = 0; at < length; at += take) await stream.fill(out.subarray(at, Math.min(length, at + take)));
  stream.close();
  return [...out];
};

const failure = (open: Open, bytes: Uint8Array, length: number, size?: number) =>
  decode(open, bytes, length, size).then(
    () => 'nothing',
    (error: unknown) => (error instanceof LinewashError ? error.message : `not ours: ${error}`),
  );

/** Codes of nine bits and more, packed from the high end, as the widths say. */
const packCodes = (codes: readonly (readonly [code: number, width: number])[]): Uint8Array => {
  const bits = codes.map(([code, width]) => code.toString(2).padStart(width, '0')).join('');
  const bytes = bits.match(/.{1,8}/g) ?? [];
  return Uint8Array.from(bytes, (byte) => Number.parseInt(byte.padEnd(8, '0'), 2));
};

const nine = (...codes: number[]) => packCodes(codes.map((code) => [code, 9] as const));

describe('LZW', () => {
  it('decodes the example of TIFF 6.0 §13', async () => {
    // The specification's sample: 7 7 7 8 8 7 7 6 6 with codes 256 7 258 8 8 258 6 6 257.
    const bytes = nine(256, 7, 258, 8, 8, 258, 6, 6, 257);
    for (const size of [1, 2, 3, 100])
      for (const take of [1, 2, 9])
        expect(await decode(lzwStream, bytes, 9, size, take)).toEqual([7, 7, 7, 8, 8, 7, 7, 6, 6]);
  });

  it('needs neither Clear in front nor an end code', async () => {
    expect(await decode(lzwStream, nine(7, 258, 8), 4)).toEqual([7, 7, 7, 8]);
  });

  it('starts its table anew at Clear', async () => {
    expect(await decode(lzwStream, nine(256, 1, 2, 258, 256, 3, 4, 258, 257), 8)).toEqual([1, 2, 1, 2, 3, 4, 3, 4]);
  });

  it('widens its codes one entry early, up to a full table', async () => {
    // One run of a value: every new code stands for one more byte than the one before.
    const codes: [number, number][] = [
      [256, 9],
      [5, 9],
    ];
    let width = 9;
    let length = 1;
    for (let code = 258; code < 4096; code++) {
      codes.push([code, width]);
      length += code - 256;
      if (code + 1 > 2 ** width - 2 && width < 12) width++;
    }
    codes.push([4095, 12], [5, 12], [257, 12]);
    length += 4095 - 256 + 1;
    const out = await decode(lzwStream, packCodes(codes), length, 1000, 99_991);
    expect(out.length).toBe(length);
    expect(out.every((value) => value === 5)).toBe(true);
  });

  it('refuses codes that cannot be, and an end before the last byte', async () => {
    expect(await failure(lzwStream, nine(256, 300), 9)).toMatch(/damaged LZW/);
    expect(await failure(lzwStream, nine(256, 7, 259), 9)).toMatch(/damaged LZW/);
    expect(await failure(lzwStream, nine(256, 7, 257, 7, 7), 9)).toMatch(/ends early/);
    expect(await failure(lzwStream, nine(256, 7, 8), 9)).toMatch(/ends early/);
    expect(await failure(lzwStream, new Uint8Array(0), 9)).toMatch(/ends early/);
    expect(await failure(lzwStream, Uint8Array.of(0, 1, 9, 9), 9)).toMatch(/before 1992/);
  });
});

describe('PackBits', () => {
  // The packed example in Apple's Technical Note TN1023, as the TIFF 6.0 supplement points to it (from memory).
  const packed = Uint8Array.of(
    0xfe,
    0xaa,
    0x02,
    0x80,
    0x00,
    0x2a,
    0xfd,
    0xaa,
    0x03,
    0x80,
    0x00,
    0x2a,
    0x22,
    0xf7,
    0xaa,
  );
  const plain = [
    0xaa, 0xaa, 0xaa, 0x80, 0x00, 0x2a, 0xaa, 0xaa, 0xaa, 0xaa, 0x80, 0x00, 0x2a, 0x22, 0xaa, 0xaa, 0xaa, 0xaa, 0xaa,
    0xaa, 0xaa, 0xaa, 0xaa, 0xaa,
  ];

  it('decodes literals and runs, however they are cut', async () => {
    for (const size of [1, 2, 3, 4, 100])
      for (const take of [1, 5, 24]) expect(await decode(packBitsStream, packed, 24, size, take)).toEqual(plain);
  });

  it('passes over the count that means nothing', async () => {
    expect(await decode(packBitsStream, Uint8Array.of(128, 0xfe, 3, 128, 128, 0, 4), 4)).toEqual([3, 3, 3, 4]);
    expect(await decode(packBitsStream, Uint8Array.of(128, 0xfe, 3, 128, 128, 0, 4), 4, 1)).toEqual([3, 3, 3, 4]);
  });

  it('refuses an end before the last byte', async () => {
    for (const bytes of [[], [5], [5, 1, 2], [0xfe], [128]])
      for (const size of [1, 100])
        expect(await failure(packBitsStream, Uint8Array.from(bytes), 9, size)).toMatch(/early/);
  });
});

describe('deflate', () => {
  const plain = Uint8Array.from({ length: 300_000 }, (_, i) => (i * i) >> 7);
  const packed = new Uint8Array(deflateSync(plain));

  it('gives the same bytes however it is cut and taken', async () => {
    for (const [size, take] of [
      [65_536, 300_000],
      [1000, 7001],
      [17, 123_457],
    ] as const)
      expect(Buffer.from(await decode(inflateStream, packed, plain.length, size, take)).equals(plain)).toBe(true);
  });

  it('takes no more from a bomb than is asked for', async () => {
    const bomb = new Uint8Array(deflateSync(new Uint8Array(1 << 28)));
    let taken = 0;
    const pieces = cut(bomb, 4096);
    const counting: Pieces = { ...pieces, next: () => pieces.next().finally(() => taken++) };
    const stream = inflateStream(counting);
    await stream.fill(new Uint8Array(1000));
    stream.close();
    // Node lets 16 KiB through before it makes a writer wait.
    expect(taken).toBeLessThanOrEqual(8);
  });

  it('refuses damage and an end before the last byte', async () => {
    expect(await failure(inflateStream, packed.slice(0, 999), plain.length)).toMatch(/deflate|early/);
    expect(await failure(inflateStream, Uint8Array.of(1, 2, 3), 9)).toMatch(/damaged deflate/);
    expect(await failure(inflateStream, new Uint8Array(0), 9)).toMatch(/deflate|early/);
    expect(await failure(inflateStream, packed, plain.length + 1)).toMatch(/early/);
  });

  it('passes on what reading the file says', async () => {
    const source = { ...memorySource('t', packed), read: () => Promise.reject(formatError('t', 'it shrank')) };
    const stream = inflateStream(piecesOf(source, 0, 99, 'strip 0'));
    await expect(stream.fill(new Uint8Array(9))).rejects.toThrow('it shrank');
    stream.close();
  });
});
