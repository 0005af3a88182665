import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { firstDifference, openFile, readInWindows, readWhole } from './reading.ts';

// The TIFF copies hold the FITS crops times a gain that brings the 99.9th percentile to 60000: as 16-bit integers, those
// over 65535 as float32 (widened or narrowed), and (int32) as a thousand times the integer less nine million. See MANIFEST.md there.
const FOLDER = new URL('../../../../shared/data/', import.meta.url).pathname;
const present = existsSync(`${FOLDER}tiff`);

/** A plain BITPIX -32 picture, read with no code of the library; top row first. */
const readFits = (path: string): Float64Array => {
  const bytes = readFileSync(path);
  const header: Record<string, string> = {};
  let at = 0;
  for (; !bytes.toString('latin1', at, at + 80).startsWith('END '); at += 80) {
    const card = bytes.toString('latin1', at, at + 80);
    header[card.slice(0, 8).trim()] = card.slice(10).split('/')[0]!.trim();
  }
  expect(header.BITPIX).toBe('-32');
  const [width, height] = [Number(header.NAXIS1), Number(header.NAXIS2)];
  const start = Math.ceil((at + 80) / 2880) * 2880;
  const values = new Float64Array(width * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      values[(height - 1 - y) * width + x] = bytes.readFloatBE(start + 4 * (y * width + x));
  return values;
};

/** The crop times its gain, not yet rounded or clipped. */
const scaledCrop = (line: string): Float64Array => {
  const crop = readFits(`${FOLDER}m42/m42_${line}_256_f32.fits`);
  const sorted = crop.filter(Number.isFinite).sort();
  const place = 0.999 * (sorted.length - 1);
  const below = Math.floor(place);
  const percentile = sorted[below]! + (place - below) * (sorted[below + 1]! - sorted[below]!);
  return crop.map((value) => (value * 60000) / percentile);
};

/** Largest distance over pixels that are finite in the crop. */
const farthest = (found: Float64Array, crop: Float64Array, wanted: (scaled: number) => number): number => {
  let most = 0;
  for (let i = 0; i < crop.length; i++)
    if (Number.isFinite(crop[i])) most = Math.max(most, Math.abs(found[i]! - wanted(crop[i]!)));
  return most;
};

const toInteger = (scaled: number) => Math.min(65535, Math.max(0, Math.round(scaled)));
const toUnit = (scaled: number) => Math.fround(toInteger(scaled) / 65535);

describe.skipIf(!present)('TIFF copies of a real master', () => {
  // Tolerance: one unit of 16 bits, for the gain was applied in float32, which tips some roundings; f16 keeps 11 bits.
  it.each([
    ['m42_ha_u16_bigtiff', toInteger, 1],
    ['m42_ha_u16_lzw_pred2', toInteger, 1],
    ['m42_ha_u16_packbits_rows7', toInteger, 1],
    ['m42_ha_u16_tiled_be', toInteger, 1],
    ['m42_ha_i32', (scaled: number) => toInteger(scaled) * 1000 - 9_000_000, 1000],
    ['m42_ha_f64', toUnit, 1.6e-5],
    ['m42_ha_f32_lzw_pred3', toUnit, 1.6e-5],
    ['m42_ha_f32_zip_pred3', toUnit, 1.6e-5],
    ['m42_ha_f16', toUnit, 2.5e-4],
  ] as const)('%s is its FITS crop', async (name, wanted, tolerance) => {
    const plane = await openFile(`${FOLDER}tiff/${name}.tif`);
    const values = await readWhole(plane);
    expect(farthest(values, scaledCrop('ha'), wanted)).toBeLessThanOrEqual(tolerance);
    expect(firstDifference(await readInWindows(plane), values)).toBe('');
  });

  it('reads the same integers from every 16-bit copy', async () => {
    const first = await readWhole(await openFile(`${FOLDER}m42/m42_ha_256_u16.tif`));
    for (const name of ['u16_bigtiff', 'u16_lzw_pred2', 'u16_packbits_rows7', 'u16_tiled_be'])
      expect(firstDifference(await readWhole(await openFile(`${FOLDER}tiff/m42_ha_${name}.tif`)), first), name).toBe(
        '',
      );
    for (const name of ['f64', 'f32_lzw_pred3', 'f32_zip_pred3'])
      expect(
        firstDifference(
          await readWhole(await openFile(`${FOLDER}tiff/m42_ha_${name}.tif`)),
          first.map((value) => Math.fround(value / 65535)),
        ),
        name,
      ).toBe('');
    const int32 = await readWhole(await openFile(`${FOLDER}tiff/m42_ha_i32.tif`));
    expect(
      firstDifference(
        int32,
        first.map((value) => value * 1000 - 9_000_000),
      ),
    ).toBe('');
  });

  it.each(['sii', 'ha', 'oiii'].map((line, i) => [i, line] as const))('page and plane %i are %s', async (i, line) => {
    const crop = scaledCrop(line);
    const page = await readWhole(await openFile(`${FOLDER}tiff/m42_sho_3pages_u16.tif`, { page: i }));
    const plane = await readWhole(await openFile(`${FOLDER}tiff/m42_sho_planar_u16.tif`, { plane: i }));
    expect(farthest(page, crop, toInteger)).toBeLessThanOrEqual(1);
    expect(firstDifference(plane, page)).toBe('');
  });
});
