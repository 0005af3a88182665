import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import { asWords, inFolder, linewash, SMALL } from '../cli/capture.ts';
import { readPlainFits } from './plain-fits.ts';

const faults = '../shared/faults';

/** 8-bit pixels of a mix of one file given for one line, as an independent reader finds them. */
const grey = async (folder: string, file: string): Promise<Buffer> => {
  const recipe = join(folder, 'grey.json');
  writeFileSync(recipe, '{"channels": ["X"], "matrix": [[1], [1], [1]]}');
  const output = join(folder, `${Math.abs(hash(file))}.png`);
  const ran = await linewash(['mix', recipe, `X=${file}`, '-o', output, '--bits', '8']);
  expect(ran.code, ran.err).toBe(0);
  return sharp(readFileSync(output)).raw().toBuffer();
};

const hash = (text: string) => [...text].reduce((h, c) => (h * 31 + c.charCodeAt(0)) | 0, 7);

const mostDifferent = (a: Buffer, b: Buffer) => a.reduce((most, v, i) => Math.max(most, Math.abs(v - b[i]!)), 0);

const flipped = (picture: Buffer, rowBytes: number): Buffer => {
  const rows = Array.from({ length: picture.length / rowBytes }, (_, y) =>
    picture.subarray(y * rowBytes, (y + 1) * rowBytes),
  );
  return Buffer.concat(rows.reverse());
};

describe.skipIf(!existsSync(faults))('one scene in other units', () => {
  it('gives one picture: 0…1, 0…65535, 1e-17', () =>
    inFolder(async (folder) => {
      const pictures = [];
      for (const range of ['01', '65535', '1e-17'])
        pictures.push(await grey(folder, `${faults}/f03_float_range_${range}.fits`));
      expect(new Set(pictures[0]!).size).toBeGreaterThan(50);
      for (const other of pictures.slice(1)) expect(mostDifferent(pictures[0]!, other)).toBeLessThanOrEqual(1);
    }));

  it('is not black where 12 bits stand in a file of 16', () =>
    inFolder(async (folder) => {
      const picture = await grey(folder, `${faults}/f27c_u16_12bit_range.tif`);
      // The TIFF begins with the row that the FITS file stores first, and that is its bottom row.
      const same = flipped(await grey(folder, `${faults}/f03_float_range_65535.fits`), 64 * 3);
      // Sixteen times coarser steps, steepened by the curve.
      expect(mostDifferent(picture, same)).toBeLessThanOrEqual(4);
      expect(new Set(picture).size).toBeGreaterThan(50);
    }));
});

describe('the sample masters in other units', () => {
  const scaled = async (folder: string, line: 'S' | 'H' | 'O', factor: number, offset: number) => {
    const { width, height, data } = readPlainFits(SMALL[line]);
    const sink = memorySink();
    const writer = writeMono(sink, { width, height, type: 'f32', cards: [] });
    await writer.writeRows(Float32Array.from(data, (v) => (v === 0 ? Number.NaN : v * factor + offset)));
    await writer.finish();
    const path = join(folder, `${line}.fits`);
    writeFileSync(path, sink.bytes());
    return path;
  };

  it.each([
    ['0…1', 1 / 65535, 0],
    ['physical', 1e-17, 0],
    ['below zero', 0.01, -200],
  ])('%s', (_name, factor, offset) =>
    inFolder(async (folder) => {
      const files = {
        H: await scaled(folder, 'H', factor, offset),
        O: await scaled(folder, 'O', factor, offset),
      };
      const [plain, other] = [join(folder, 'plain.png'), join(folder, 'other.png')];
      const { H, O } = SMALL;
      await linewash(['mix', 'hoo', ...asWords({ H, O }), '-o', plain, '--bits', '8']);
      const ran = await linewash(['mix', 'hoo', ...asWords(files), '-o', other, '--bits', '8']);
      expect(ran.code, ran.err).toBe(0);
      const [a, b] = await Promise.all([plain, other].map((path) => sharp(path).raw().toBuffer()));
      expect(mostDifferent(a!, b!)).toBeLessThanOrEqual(1);
    }),
  );
});
