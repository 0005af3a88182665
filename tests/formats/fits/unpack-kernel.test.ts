import { constants, deflateRawSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { crc32 } from '../../../lib/formats/crc32.ts';
import { fastCrc32, fastInflate } from '../../../lib/formats/fits/fast-inflate.ts';
import { fastRice } from '../../../lib/formats/fits/fast-rice.ts';
import { inflate, OUTPUT_MARGIN, startInflate } from '../../../lib/formats/fits/inflate.ts';
import { decodeRice, type RiceShape } from '../../../lib/formats/fits/rice.ts';
import { unpackKernel } from '../../../lib/formats/fits/unpack-kernel.ts';
import { seededRandom } from '../../fuzz/mutate.ts';

const random = seededRandom(23);
const below = (most: number) => Math.floor(random() * most);
/** Runs of few and of many values, so that there are short and long matches, near and far, and codes of every length. */
const mixed = Uint8Array.from({ length: 150_000 }, (_, i) =>
  i % 5000 < 2500 ? Math.min(255, Math.floor(-Math.log2(random() + 1e-9) * 8)) : (i % 3) + below(1.01),
);
for (let i = 0; i < 40; i++) mixed.copyWithin(below(100_000), below(100_000), below(100_000) + 300);

const strategies = [constants.Z_DEFAULT_STRATEGY, constants.Z_HUFFMAN_ONLY, constants.Z_RLE, constants.Z_FIXED];
const packedKinds = strategies.flatMap((strategy) =>
  [0, 1, 9].map((level) => new Uint8Array(deflateRawSync(mixed, { level, strategy }))),
);

/** Inflates in pieces of input and steps of output, as gzip files are: the window moves to the front after each step. */
const inflateBy = (run: typeof inflate, bytes: Uint8Array, piece: number, step: number) => {
  const window = 1 << 15;
  const out = new Uint8Array(window + step + OUTPUT_MARGIN);
  const state = startInflate();
  const all: number[] = [];
  const goesOn = () => state.mode !== 'done' && fault === 'ok';
  let [at, end, fault] = [0, window, 'ok'];
  while (goesOn()) {
    out.copyWithin(0, end - window, end);
    state.at = window;
    while (goesOn() && out.length - state.at >= OUTPUT_MARGIN) {
      state.from = 0;
      const to = Math.min(bytes.length, at + piece);
      fault = run(state, bytes.subarray(at, to), to === bytes.length, out);
      at += state.from;
    }
    end = state.at;
    for (const byte of out.subarray(window, end)) all.push(byte);
  }
  return { fault, mode: state.mode, all: Uint8Array.from(all) };
};

describe('the kernel that unpacks', () => {
  it('runs here', () => {
    expect(unpackKernel(1000)).toBeDefined();
  });

  it.each([
    [1 << 17, 1 << 18],
    [900, 3000],
  ])('inflates pieces of %i bytes by steps of %i', (piece, step) => {
    for (const packed of packedKinds) {
      const { fault, all } = inflateBy(fastInflate, packed, piece, step);
      expect(fault).toBe('ok');
      expect(Buffer.compare(all, mixed)).toBe(0);
    }
  });

  it('finds the same faults in damaged and cut data as the plain loop, at the same byte', () => {
    for (let i = 0; i < 240; i++) {
      const packed = packedKinds[i % packedKinds.length]!.slice(0, i % 4 === 0 ? 1 + below(20_000) : undefined);
      if (i % 4) for (let k = 0; k < 3; k++) packed[below(Math.min(packed.length, 20_000))] = below(256);
      const [fast, plain] = [fastInflate, inflate].map((run) => {
        const [state, out] = [startInflate(), new Uint8Array(60_000)];
        const fault = run(state, packed, true, out);
        return { fault, mode: state.mode, out: fault === 'ok' ? out.subarray(0, state.at) : undefined };
      });
      expect(fast).toEqual(plain);
    }
  });

  it('sums as the plain loop does', () => {
    const before = crc32(mixed.subarray(0, 777));
    for (const end of [777, 778, 790, 100_000])
      expect(fastCrc32(mixed.subarray(777, end), before)).toBe(crc32(mixed.subarray(777, end), before));
  });

  it('decodes whatever bytes as RICE_1 as the plain loop does, and refuses the same', () => {
    let decoded = 0;
    for (let i = 0; i < 3000; i++) {
      const shape: RiceShape = { blockSize: [16, 32, 7][i % 3]!, bytesPerPixel: ([1, 2, 4] as const)[below(3)]! };
      const count = 1 + below(150);
      // Few bits set make long runs of zeros, which high parts are.
      const rare = below(3);
      const bytes = Uint8Array.from(
        { length: 4 + below(600) },
        () => below(256) & (rare ? below(256) & below(256) : 255),
      );
      const [fast, plain] = [fastRice, decodeRice].map((run) => {
        const into = new Int32Array(count);
        return run(bytes, count, shape, into) ? into : undefined;
      });
      expect(fast).toEqual(plain);
      if (plain) decoded++;
    }
    expect(decoded).toBeGreaterThan(300);
    expect(decoded).toBeLessThan(2900);
  });
});
