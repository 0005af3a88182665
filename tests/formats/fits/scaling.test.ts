import { rmSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { openFits } from '../../../lib/formats/fits/open.ts';
import { BYTES_PER_SAMPLE, type PlaneSource, type RawRows } from '../../../lib/plane/plane.ts';
import { card, data, image, source } from './build.ts';
import { expectedValues, firstDifference, openExpected, readAll, readBytes } from './expected.ts';
import { smallManifest, unpackSmall } from './small.ts';

const open = (bitpix: number, ...cards: string[]) =>
  openFits(source(image(bitpix, [1, 1], ...cards), data(new Uint8Array(8))));

describe('the type and range of physical values', () => {
  // FITS standard 4.0, section 4.4.2.5: unsigned integers through BZERO.
  it.each([
    [8, [], 'u8', 255],
    [8, [card('BZERO', -128)], 'i8', 127],
    [16, [], 'i16', 32767],
    [16, [card('BZERO', 32768)], 'u16', 65535],
    [16, [card('BZERO', 32768), card('BSCALE', 2)], 'f32', 98302],
    [16, [card('BSCALE', -1)], 'f32', 32768],
    [32, [], 'i32', 2147483647],
    [32, [card('BZERO', 2147483648)], 'u32', 4294967295],
    [32, [card('BZERO', 10)], 'f64', 2147483657],
    [64, [], 'i64', 2 ** 63],
    [64, [card('BZERO', 2 ** 63)], 'f64', 2 ** 64],
    [-32, [], 'f32', undefined],
    [-64, [], 'f64', undefined],
  ] as const)('BITPIX %d %j', async (bitpix, cards, type, fullScale) => {
    const plane = await open(bitpix, ...cards);
    expect([plane.type, plane.fullScale]).toEqual([type, fullScale]);
  });

  it('warns where values lose digits or something is ignored', async () => {
    expect((await open(64)).warnings.join()).toContain('2^53');
    expect((await open(-32, card('BLANK', 0))).warnings.join()).toContain('BLANK is ignored');
    expect((await open(-32, card('BZERO', 5))).warnings.join()).toContain('applied to floating-point');
    expect((await open(16, card('BLANK', "'x'"))).warnings.join()).toContain('"x" is no integer');
    expect((await open(16, card('BLANK', ''))).warnings).toEqual([]);
  });

  it('reads BLANK however it is spelt', async () => {
    for (const spelling of ['-0', '+0', '0.0', '0E3']) {
      const plane = await open(16, card('BLANK', spelling));
      expect(await readAll(plane)).toEqual(Float64Array.of(Number.NaN));
    }
  });
});

describe('64-bit integers', () => {
  const stored = (...values: bigint[]) => {
    const view = new DataView(new ArrayBuffer(8 * values.length));
    for (const [i, value] of values.entries()) view.setBigInt64(8 * i, value);
    return data(new Uint8Array(view.buffer));
  };
  const values = [
    0n,
    -1n,
    1n,
    2n ** 53n + 1n,
    -(2n ** 53n) - 3n,
    2n ** 63n - 1n,
    -(2n ** 63n),
    0x1_0000_0000n,
    -0x1_0000_0001n,
  ];

  it('are rounded once', async () => {
    const plane = await openFits(source(image(64, [values.length, 1]), stored(...values)));
    expect(await readAll(plane)).toEqual(Float64Array.from(values, Number));
    expect(plane.raw).toBeUndefined();
  });

  it('are unsigned before they are rounded', async () => {
    const plane = await openFits(
      source(image(64, [values.length, 1], card('BZERO', '9223372036854775808')), stored(...values)),
    );
    expect(await readAll(plane)).toEqual(Float64Array.from(values, (value) => Number(value + 2n ** 63n)));
  });

  it('compare with BLANK to the last bit', async () => {
    const cards = [card('BLANK', '9007199254740993')];
    const plane = await openFits(source(image(64, [2, 1], ...cards), stored(2n ** 53n + 1n, 2n ** 53n)));
    expect(await readAll(plane)).toEqual(Float64Array.of(Number.NaN, 2 ** 53));
    const negative = await openFits(
      source(image(64, [2, 1], card('BLANK', -1), card('BSCALE', 2)), stored(-1n, 0xffffffffn)),
    );
    expect(await readAll(negative)).toEqual(Float64Array.of(Number.NaN, 2 * 0xffffffff));
  });
});

describe('raw rows', () => {
  const folder = unpackSmall();
  afterAll(() => rmSync(folder, { recursive: true }));
  const plain = smallManifest.filter((row) => /^(u8|i16|u16|i32|f32|f64|unpadded|cube|extension)/.test(row.values));

  /** Decodes with nothing but the description. */
  const decode = (raw: RawRows, plane: PlaneSource, bytes: Uint8Array): Float64Array => {
    const view = new DataView(bytes.buffer, bytes.byteOffset);
    const read = { u8: 'getUint8', i16: 'getInt16', i32: 'getInt32', f32: 'getFloat32', f64: 'getFloat64' } as const;
    const get = read[raw.type as keyof typeof read];
    const pixels = new Float64Array(plane.width * plane.height);
    for (let i = 0; i < pixels.length; i++) {
      const y = Math.floor(i / plane.width);
      const row = raw.bottomUp ? plane.height - 1 - y : y;
      const stored = view[get](
        raw.offset + row * raw.rowBytes + (i % plane.width) * BYTES_PER_SAMPLE[raw.type],
        !raw.bigEndian,
      );
      pixels[i] = stored === raw.blank ? Number.NaN : raw.zero + raw.scale * stored;
    }
    return pixels;
  };

  it.each(plain.map((row) => [row.values, row] as const))('of %s describe the pixels', async (_, row) => {
    const plane = await openExpected(folder, row);
    expect(firstDifference(decode(plane.raw!, plane, readBytes(folder, row.file)), expectedValues(folder, row))).toBe(
      -1,
    );
  });

  it('are absent for what is compressed', async () => {
    for (const row of smallManifest.filter((one) => /^(gzip|rice|fpack)/.test(one.values)))
      expect((await openExpected(folder, row)).raw).toBeUndefined();
  });
});
