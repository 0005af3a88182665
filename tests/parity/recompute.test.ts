import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { fromFile } from 'geotiff';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { asWords, inFolder, linewash, SMALL } from '../cli/capture.ts';
import { type PlainImage, readPlainFits } from './plain-fits.ts';

const data = '../shared/data';
const m42 = {
  S: `${data}/m42/m42_sii_256_f32.fits`,
  H: `${data}/m42/m42_ha_256_f32.fits`,
  O: `${data}/m42/m42_oiii_256_f32.fits`,
};
const ou5 = { H: `${data}/ou5/ou5_ha.fits`, O: `${data}/ou5/ou5_oiii.fits` };

/** The published formula of settled numbers, written apart from the library: rational bias, weights, ratio highlights. */
const recompute = (settled: any, images: Record<string, PlainImage>, i: number): number[] => {
  const e = settled.channels.map((c: any) => {
    const x = images[c.name]!.data[i]!;
    const z = Math.min(1, Math.max(0, (x - c.background - c.black) / (c.white - c.black)));
    if (c.stretch.curve === 'linear') return z;
    if (c.stretch.curve === 'asinh') return Math.asinh(z / c.stretch.a) / Math.asinh(1 / c.stretch.a);
    return z / ((1 / c.stretch.a - 2) * (1 - z) + 1);
  });
  const rgb = settled.matrix.map((row: number[]) => row.reduce((sum, w, k) => sum + w * e[k], 0));
  const most = Math.max(...rgb, 1);
  return rgb.map((v: number) => Math.floor((v / most) * 65535 + 0.5));
};

/** Pixels as an independent reader finds them, without any colour management. */
const readSixteenBits = async (path: string, length: number): Promise<ArrayLike<number>> => {
  if (path.endsWith('.tif')) {
    const image = await (await fromFile(path)).getImage();
    const pixels = (await image.readRasters({ interleave: true })) as Uint16Array;
    expect(pixels.length).toBe(length);
    return pixels;
  }
  const { data } = await sharp(path, { ignoreIcc: true })
    .pipelineColourspace('rgb16')
    .toColourspace('rgb16')
    .raw({ depth: 'ushort' })
    .toBuffer({ resolveWithObject: true });
  expect(data.length).toBe(2 * length);
  return new Uint16Array(data.buffer, data.byteOffset, length);
};

const compare = async (recipe: string, files: Record<string, string>, ending: string) =>
  inFolder(async (folder) => {
    const output = join(folder, `out.${ending}`);
    const ran = await linewash(['mix', recipe, ...asWords(files), '-o', output, '--json']);
    expect(ran.code, ran.err).toBe(0);
    const { settled, width, height } = JSON.parse(ran.out);
    const images = Object.fromEntries(Object.entries(files).map(([name, file]) => [name, readPlainFits(file)]));
    const pixels = await readSixteenBits(output, width * height * 3);
    let worst = 0;
    let bright = 0;
    const oxygen = readPlainFits(files.O!).data;
    for (let i = 0; i < width * height; i++) {
      // Pixels without data in a used line are black; on the sample masters that is where O has exact zeros.
      const undefined_ = settled.channels.some((c: any) => Number.isNaN(images[c.name]!.data[i]));
      const missing = undefined_ || (files === SMALL && oxygen[i] === 0);
      const wanted = missing ? [0, 0, 0] : recompute(settled, images, i);
      for (let b = 0; b < 3; b++) {
        worst = Math.max(worst, Math.abs(pixels[3 * i + b]! - wanted[b]!));
        if (wanted[b]! > 6000) bright++;
      }
    }
    expect(worst).toBeLessThanOrEqual(1);
    expect(bright).toBeGreaterThan(1000);
  });

describe('every 16-bit value follows from the settled numbers', () => {
  it.each(['sho', 'ember'])('on the sample masters, recipe %s, as TIFF', (recipe) => compare(recipe, SMALL, 'tif'));
  it('on the sample masters as PNG', () => compare('hos', SMALL, 'png'));
});

describe.skipIf(!existsSync(data))('every 16-bit value follows from the settled numbers on real masters', () => {
  it.each(['sho', 'hso', 'hoo', 'ember', 'hos'])('float32, recipe %s', (recipe) => compare(recipe, m42, 'tif'));
  it('float64 with negative values', () => compare('hoo', ou5, 'tif'));
});
