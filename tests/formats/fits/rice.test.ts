import { describe, expect, it } from 'vitest';
import { randomNumbers, unquantize } from '../../../lib/formats/fits/dither.ts';
import { decodeRice, type RiceShape, riceMinimum } from '../../../lib/formats/fits/rice.ts';
import { decodeRiceTile } from '../../../lib/formats/fits/tile-codec.ts';
import { seededRandom } from '../../fuzz/mutate.ts';

const PARAMETERS = { 1: [3, 6, 8], 2: [4, 14, 16], 4: [5, 25, 32] } as const;

/** A plain encoder after FITS standard 4.0, section 10.4.1, that takes the parameter of each block from a list. */
const encode = (
  pixels: readonly number[],
  { bytesPerPixel, blockSize }: RiceShape,
  shifts: readonly number[],
): Uint8Array => {
  const [parameterBits, uncoded, pixelBits] = PARAMETERS[bytesPerPixel];
  const mask = 2 ** pixelBits - 1;
  let bits = (BigInt(pixels[0]!) & BigInt(mask)).toString(2).padStart(pixelBits, '0');
  let last = pixels[0]!;
  for (let block = 0; block * blockSize < pixels.length; block++) {
    const shift = shifts[block % shifts.length]!;
    bits += (shift + 1).toString(2).padStart(parameterBits, '0');
    for (const pixel of pixels.slice(block * blockSize, (block + 1) * blockSize)) {
      const difference = Number(BigInt.asIntN(pixelBits, BigInt(pixel - last)));
      last = pixel;
      const mapped = difference >= 0 ? 2 * difference : -2 * difference - 1;
      if (shift < 0) continue;
      if (shift === uncoded) bits += mapped.toString(2).padStart(pixelBits, '0');
      else
        bits += `${'0'.repeat(Math.floor(mapped / 2 ** shift))}1${shift ? (mapped % 2 ** shift).toString(2).padStart(shift, '0') : ''}`;
    }
  }
  return Uint8Array.from(bits.match(/.{1,8}/g)!, (byte) => Number.parseInt(byte.padEnd(8, '0'), 2));
};

const decode = (bytes: Uint8Array, count: number, shape: RiceShape) => {
  const pixels = new Int32Array(count);
  return decodeRice(bytes, count, shape, pixels) ? [...pixels] : undefined;
};

const random = seededRandom(9);
const walk = (count: number, step: number, from: number, low: number, high: number) => {
  let value = from;
  return Array.from(
    { length: count },
    () => (value = Math.max(low, Math.min(high, value + Math.round((random() - 0.5) * step)))),
  );
};

describe('decodeRice', () => {
  it.each([
    ['bytes', 1, walk(100, 20, 250, 0, 255), [0, 1, 5, 6]],
    ['shorts', 2, walk(100, 900, -32000, -32768, 32767), [0, 4, 13, 14]],
    ['integers', 4, walk(100, 9000, 2 ** 31 - 5000, -(2 ** 31), 2 ** 31 - 1), [7, 12, 24, 25]],
  ] as const)('reads %s coded with every kind of parameter', (_, bytesPerPixel, pixels, shifts) => {
    for (const blockSize of [16, 32])
      for (const shift of shifts) {
        const shape = { blockSize, bytesPerPixel };
        expect(decode(encode(pixels, shape, [shift]), pixels.length, shape)).toEqual(pixels);
      }
    const mixed = { blockSize: 8, bytesPerPixel };
    expect(decode(encode(pixels, mixed, shifts), pixels.length, mixed)).toEqual(pixels);
  });

  it('reads blocks without differences', () => {
    const shape: RiceShape = { blockSize: 4, bytesPerPixel: 2 };
    const bytes = encode([7, 7, 7, 7, 9, 8, 7, 7], shape, [-1, 1]);
    expect(decode(bytes, 8, shape)).toEqual([7, 7, 7, 7, 9, 8, 7, 7]);
  });

  it('wraps around as the type does', () => {
    const shape: RiceShape = { blockSize: 8, bytesPerPixel: 2 };
    const pixels = [-32768, 32767, -32768, 0];
    expect(decode(encode(pixels, shape, [14]), 4, shape)).toEqual(pixels);
  });

  it('refuses every cut and unknown parameters', () => {
    const shape: RiceShape = { blockSize: 32, bytesPerPixel: 4 };
    const pixels = walk(64, 100, 0, -1000, 1000);
    const bytes = encode(pixels, shape, [5]);
    for (let length = 0; length < bytes.length; length++)
      expect(decode(bytes.subarray(0, length), 64, shape)).toBeUndefined();
    expect(decode(Uint8Array.of(0, 0, 0, 0, 0xff), 1, shape)).toBeUndefined();
  });

  it('takes no memory for pixels that cannot be there', () => {
    const shape: RiceShape = { blockSize: 32, bytesPerPixel: 2 };
    expect(riceMinimum(64, shape)).toBe(2 + 1);
    expect(decodeRiceTile(new Uint8Array(100), 1e9, shape)).toMatchObject({
      fault: expect.stringContaining('fewer bytes'),
    });
    expect(decodeRiceTile(Uint8Array.of(0, 3, 0xf0), 1, shape)).toMatchObject({
      fault: expect.stringContaining('RICE_1'),
    });
  });
});

describe('dither', () => {
  // FITS standard 4.0, appendix I: the seed after 10000 steps is 1043618065.
  it('has the random numbers of the standard', () => {
    const numbers = randomNumbers();
    expect(numbers.length).toBe(10_000);
    expect(numbers[9999]).toBe(Math.fround(1043618065 / 2147483647));
    expect(numbers[0]).toBe(Math.fround(16807 / 2147483647));
    expect(randomNumbers()).toBe(numbers);
  });

  it('keeps blanks and, in the second kind, exact zeros', () => {
    const stored = Int32Array.of(-2147483647, -2147483646, 10);
    const run = (method: 'NO_DITHER' | 'SUBTRACTIVE_DITHER_1' | 'SUBTRACTIVE_DITHER_2') => {
      const floats = new Float64Array(3);
      unquantize(stored, 3, { scale: 0.5, zero: 1, blank: -2147483647, method, seed: 0 }, floats);
      return floats;
    };
    expect(run('NO_DITHER')).toEqual(Float64Array.of(Number.NaN, 1 - 2147483646 / 2, 6));
    expect(run('SUBTRACTIVE_DITHER_1')[1]).toBeLessThan(-1e9);
    expect(run('SUBTRACTIVE_DITHER_2')[1]).toBe(0);
    expect(run('SUBTRACTIVE_DITHER_2')[0]).toBeNaN();
  });

  it('stays within half a step of the undithered value', () => {
    const stored = Int32Array.from({ length: 30_000 }, (_, i) => i);
    const floats = new Float64Array(30_000);
    unquantize(
      stored,
      30_000,
      { scale: 2, zero: 0, blank: undefined, method: 'SUBTRACTIVE_DITHER_1', seed: 9999 },
      floats,
    );
    const errors = floats.map((value, i) => value / 2 - i);
    expect(Math.max(...errors)).toBeLessThan(0.5);
    expect(Math.min(...errors)).toBeGreaterThanOrEqual(-0.5);
    expect(Math.abs(errors.reduce((sum, error) => sum + error, 0) / 30_000)).toBeLessThan(0.01);
  });
});
