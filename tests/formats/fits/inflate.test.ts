import { constants, deflateRawSync, gzipSync, crc32 as zlibCrc32 } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { crc32 } from '../../../lib/formats/crc32.ts';
import { decodeLong, prefixCode } from '../../../lib/formats/fits/huffman.ts';
import { inflate, OUTPUT_MARGIN, startInflate } from '../../../lib/formats/fits/inflate.ts';
import { inflateTile } from '../../../lib/formats/fits/tile-codec.ts';
import { seededRandom } from '../../fuzz/mutate.ts';

const random = seededRandom(11);
const noise = Uint8Array.from({ length: 100_000 }, () => random() * 256);
const words = Uint8Array.from({ length: 100_000 }, (_, i) => ((i * i) % 97 < 40 ? 65 + (i % 7) : random() * 20));
/** Frequencies that fall by half each, so that codes become as long as they can. */
const skewed = Uint8Array.from({ length: 100_000 }, () => Math.min(255, Math.floor(-Math.log2(random() + 1e-9) * 8)));
const inputs = {
  nothing: new Uint8Array(0),
  one: Uint8Array.of(9),
  zeros: new Uint8Array(100_000),
  noise,
  words,
  skewed,
};

/** Inflates with the whole input at hand. */
const inflateWhole = (bytes: Uint8Array, length: number): Uint8Array => {
  const out = new Uint8Array(length + OUTPUT_MARGIN);
  const state = startInflate();
  const message = inflate(state, bytes, true, out);
  if (message !== 'ok' || state.mode !== 'done') throw new Error(`${message}, ${state.mode}`);
  return out.subarray(0, state.at);
};

/** Inflates with the input handed over in pieces, each beginning where the last stopped. */
const inflatePieces = (bytes: Uint8Array, length: number, piece: number): Uint8Array => {
  const out = new Uint8Array(length + OUTPUT_MARGIN);
  const state = startInflate();
  for (let at = 0; state.mode !== 'done'; at += state.from) {
    state.from = 0;
    const end = Math.min(bytes.length, at + piece);
    expect(inflate(state, bytes.subarray(at, end), end === bytes.length, out)).toBe('ok');
  }
  return out.subarray(0, state.at);
};

describe('inflate', () => {
  // zlib is the other end: every block type, every level, every strategy.
  const strategies = {
    default: constants.Z_DEFAULT_STRATEGY,
    filtered: constants.Z_FILTERED,
    huffman: constants.Z_HUFFMAN_ONLY,
    rle: constants.Z_RLE,
    fixed: constants.Z_FIXED,
  };
  for (const [name, bytes] of Object.entries(inputs))
    it.each(Object.entries(strategies))(`${name}, %s`, (_, strategy) => {
      for (const level of [0, 1, 6, 9]) {
        const packed = new Uint8Array(deflateRawSync(bytes, { level, strategy }));
        expect(inflateWhole(packed, bytes.length)).toEqual(bytes);
        for (const piece of [1000, 4096]) expect(inflatePieces(packed, bytes.length, piece)).toEqual(bytes);
      }
    });

  it('says what is wrong', () => {
    const run = (...bytes: number[]) => inflate(startInflate(), Uint8Array.from(bytes), true, new Uint8Array(1000));
    expect(run()).toBe('it ends early');
    expect(run(0b111)).toContain('unknown type');
    expect(run(1, 5, 0, 0, 0)).toContain('stored block');
    expect(run(1, 5, 0, 250, 255, 1, 2)).toBe('it ends early');
    // Fixed codes (RFC 1951, section 3.2.6), padded: length symbol 257 = 0000001, then distance symbol 0 = 00000 reaches
    // back before the start; symbol 286 = 11000110 means nothing.
    expect(run(0b00000011, 0b00000010, 0, 0, 0, 0)).toBe('a match is damaged');
    expect(run(0b00011011, 0b00000011, 0, 0, 0, 0)).toBe('a match is damaged');
    expect(run(0b101, ...new Array<number>(40).fill(0xff))).toContain('code table');
  });

  it('notices every cut', () => {
    const packed = new Uint8Array(deflateRawSync(words.subarray(0, 3000)));
    for (let length = 0; length < packed.length; length++)
      expect(inflate(startInflate(), packed.subarray(0, length), true, new Uint8Array(4000))).not.toBe('ok');
  });
});

describe('prefixCode', () => {
  it('refuses more codes than there are', () => {
    expect(prefixCode(Uint8Array.of(1, 1, 1))).toBeUndefined();
  });

  it('tells bits that are no code', () => {
    const code = prefixCode(Uint8Array.of(1, 15))!;
    expect(code.fast[0]! >> 4).toBe(0);
    expect(decodeLong(code, 1)).toBe((1 << 4) | 15);
    expect(decodeLong(code, 0b111)).toBe(-1);
  });
});

describe('inflateTile', () => {
  const packed = new Uint8Array(gzipSync(words.subarray(0, 600)));

  it('gives the bytes of a tile whose size fits', () => {
    expect(inflateTile(packed, 300, [1, 2, 4])).toEqual(words.subarray(0, 600));
  });

  it.each([
    ['more bytes than the tile takes', packed, 200, [1, 2], /hold more than 400 bytes instead of 400/],
    ['fewer', packed, 400, [2], /hold 600 bytes instead of 800/],
    ['a size between', packed, 400, [1, 2], /hold 600 bytes/],
    ['more pixels than can be in it', packed, 10_000_000, [1], /fewer bytes/],
    ['something else', words.subarray(0, 100), 10, [1], /no gzip data/],
    ['a cut', packed.slice(0, -20), 600, [1], /ends early/],
  ])('refuses %s', (_, bytes, count, sizes, message) => {
    expect(inflateTile(bytes, count, sizes)).toMatchObject({ fault: expect.stringMatching(message) });
  });
});

describe('crc32', () => {
  it('agrees with zlib, also in parts', () => {
    expect(crc32(noise)).toBe(zlibCrc32(noise));
    expect(crc32(noise.subarray(5000), crc32(noise.subarray(0, 5000)))).toBe(zlibCrc32(noise));
  });
});
