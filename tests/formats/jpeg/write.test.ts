import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { ciede2000 } from '../../../lib/colour/difference.ts';
import { rgbToLab } from '../../../lib/colour/lab.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import { encodedWriter } from '../../../lib/formats/encoded-writer.ts';
import { iccProfile } from '../../../lib/formats/icc.ts';
import { readJpegNote } from '../../../lib/formats/jpeg/note.ts';
import { jpegEncoder } from '../../../lib/formats/jpeg/write.ts';
import { memorySink, memorySource } from '../../../lib/plane/bytes.ts';
import type { OutputRows, PictureInfo } from '../../../lib/plane/picture.ts';
import { random } from '../../../samples/scene/random.ts';
import { info, testRows } from '../pictures.ts';
import { contentsOf } from './segments.ts';

const runs = (command: string) => spawnSync(command, ['-ver']).error === undefined;
const folder = mkdtempSync(join(tmpdir(), 'linewash-jpeg-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const NOTE = '{"linewash":1,"recipe":{"name":"Kupfer & T\\u00fcrkis \\ud83d\\udd2d <a>"}}';

const write = async (picture: PictureInfo, rows: OutputRows, rowsAtOnce = picture.height): Promise<Uint8Array> => {
  const sink = memorySink();
  const writer = await encodedWriter(sink, picture, jpegEncoder(picture));
  const step = rowsAtOnce * picture.width * picture.bands;
  for (let at = 0; at < rows.length; at += step) await writer.writeRows(rows.subarray(at, at + step));
  await writer.finish();
  return sink.bytes();
};

const FORMS = [
  info(61, 47, 3, 'u8', 'srgb', NOTE),
  info(160, 96, 3, 'u8', 'display-p3', NOTE),
  info(1, 1, 3, 'u8', 'srgb'),
  info(8, 200, 3, 'u8', 'display-p3', NOTE),
];

/** Mean of squared differences. */
const errorOf = (a: Uint8Array, b: Uint8Array): number => {
  expect(a.length).toBe(b.length);
  return a.reduce((sum, value, i) => sum + (value - b[i]!) ** 2, 0) / a.length;
};
const pixelsOf = async (bytes: Uint8Array) => new Uint8Array(await sharp(bytes, { ignoreIcc: true }).raw().toBuffer());

/** The same pixels by libjpeg, through sharp, at the same quality and with the same tables. */
const peer = ({ width, height }: PictureInfo, rows: OutputRows): Promise<Uint8Array> =>
  sharp(rows as Uint8Array, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: 92, chromaSubsampling: '4:4:4', optimiseCoding: false })
    .toBuffer();

describe.each(FORMS)('a written JPEG: $width × $height $space', (picture) => {
  const rows = testRows(picture.width, picture.height, 3, 'u8') as Uint8Array;

  it('is as near to its pixels as the one that libjpeg writes, and not much larger', async () => {
    const [ours, theirs] = [await write(picture, rows), await peer(picture, rows)];
    const { width, height, chromaSubsampling } = await sharp(ours).metadata();
    expect([width, height, chromaSubsampling]).toEqual([picture.width, picture.height, '4:4:4']);
    expect(errorOf(await pixelsOf(ours), rows)).toBeLessThanOrEqual(1.02 * errorOf(await pixelsOf(theirs), rows) + 0.5);
    const head = jpegEncoder(picture).head.length + 3 * Math.ceil(picture.height / 8);
    expect(ours.length - head).toBeLessThan(1.05 * theirs.length);
  });

  it('has the tables of quality 92, as libjpeg scales them', async () => {
    const tables = async (bytes: Uint8Array) => {
      const all = contentsOf(bytes, 0xdb, 0xc4).map((content) => Buffer.from(content).toString('hex'));
      return all.sort();
    };
    expect(await tables(await write(picture, rows))).toEqual(await tables(await peer(picture, rows)));
  });

  it('carries the profile and its note', async () => {
    const bytes = await write(picture, rows);
    const { icc } = await sharp(bytes).metadata();
    expect(Buffer.from(iccProfile(picture.space)).equals(icc!)).toBe(true);
    expect(await readJpegNote(memorySource('a.jpg', bytes))).toBe(picture.note || undefined);
  });

  it('has the same bytes however rows are handed over, and in bands that are encoded apart', async () => {
    const whole = Buffer.from(await write(picture, rows));
    for (const rowsAtOnce of [1, 13]) expect(whole.equals(await write(picture, rows, rowsAtOnce))).toBe(true);
    const step = 16 * picture.width * 3;
    const bands = Array.from({ length: Math.ceil(rows.length / step) }, (_, i) =>
      jpegEncoder(picture).encode(rows.subarray(i * step, (i + 1) * step), 16 * i, undefined),
    );
    const { head, tail } = jpegEncoder(picture);
    expect(whole.equals(Buffer.concat([head, ...bands.flatMap(({ bytes }) => bytes), tail(1)]))).toBe(true);
  });

  it.skipIf(!runs('exiftool'))('satisfies exiftool, which finds profile and note', async () => {
    const path = join(folder, 'a.jpg');
    writeFileSync(path, await write(picture, rows));
    const words = ['-j', '-validate', '-warning', '-error', '-Comment', '-ProfileDescription', path];
    const [said] = JSON.parse(spawnSync('exiftool', words, { encoding: 'utf8' }).stdout);
    expect(said.Validate).toBe('OK');
    expect(said.ProfileDescription).toBe(picture.space === 'srgb' ? 'sRGB' : 'Display P3');
    expect(said.Comment).toBe(picture.note || undefined);
  });

  it.skipIf(spawnSync('djpeg', ['-version']).error !== undefined)('is read by djpeg without a warning', async () => {
    const path = join(folder, 'b.jpg');
    writeFileSync(path, await write(picture, rows));
    const { status, stderr } = spawnSync('djpeg', ['-outfile', join(folder, 'b.ppm'), path], { encoding: 'utf8' });
    expect([status, stderr]).toEqual([0, '']);
  });
});

describe.skipIf(spawnSync('jpgicc', []).error !== undefined)('littlecms, by the profile inside,', () => {
  it('turns Display P3 into the sRGB colours that it names', async () => {
    // One colour, so that the quantiser leaves it alone.
    const picture = info(16, 16, 3, 'u8', 'display-p3');
    const [from, to] = [join(folder, 'p3.jpg'), join(folder, 'srgb.jpg')];
    writeFileSync(
      from,
      await write(
        picture,
        Uint8Array.from({ length: 768 }, (_, i) => [60, 140, 200][i % 3]!),
      ),
    );
    expect(spawnSync('jpgicc', ['-q100', from, to]).status).toBe(0);
    const found = await pixelsOf(readFileSync(to));
    // CSS Color 4 by hand: color(display-p3 60/255 140/255 200/255) is rgb(0 142 206) after its matrices, red clipped.
    for (const [c, value] of [0, 142, 206].entries()) expect(Math.abs(found[c]! - value)).toBeLessThanOrEqual(4);
  });
});

describe('a JPEG is refused', () => {
  it.each([
    ['16 bits', info(2, 2, 3, 'u16'), '8 bits a sample'],
    ['alpha', info(2, 2, 4, 'u8'), 'no alpha channel'],
    ['linear light', info(2, 2, 3, 'u8', 'srgb-linear'), 'too few for linear light'],
    ['too wide a picture', info(65501, 1, 3, 'u8'), 'at most 65500 pixels a side; this picture has 65501 × 1'],
    ['too high a picture', info(1, 65501, 3, 'u8'), 'at most 65500 pixels a side'],
  ])('for %s', (_name, picture, words) => {
    expect(() => jpegEncoder(picture)).toThrow(words);
  });

  it('for no pixels: a defect of the caller', () => {
    for (const picture of [info(0, 1, 3, 'u8'), info(1, 1.5, 3, 'u8')])
      expect(() => jpegEncoder(picture)).toThrow(RangeError);
  });

  it('for rows that are not the picture’s', async () => {
    const picture = info(4, 2, 3, 'u8');
    const begin = () => encodedWriter(memorySink(), picture, jpegEncoder(picture));
    await expect((await begin()).writeRows(new Uint16Array(12))).rejects.toThrow('u8');
    await expect((await begin()).writeRows(new Uint8Array(11))).rejects.toThrow('whole rows');
    await expect((await begin()).writeRows(new Uint8Array(36))).rejects.toThrow('more rows');
    await expect((await begin()).finish()).rejects.toThrow('fewer rows');
  });
});

it('a picture of the longest side is read by libjpeg, restarts and all', async () => {
  const picture = info(65500, 9, 3, 'u8');
  const rows = testRows(65500, 9, 3, 'u8') as Uint8Array;
  const found = await pixelsOf(await write(picture, rows));
  expect(errorOf(found, rows)).toBeLessThan(400);
});

/** Mean colour differences of areas of 8 × 8 pixels, sRGB. */
const areaDifferences = (a: Uint8Array, b: Uint8Array, side: number): number[] => {
  const lab = (pixels: Uint8Array, x: number, y: number) => {
    const sums = [0, 0, 0];
    for (let i = 0; i < 64; i++)
      for (const c of [0, 1, 2]) sums[c]! += pixels[3 * ((y + (i >> 3)) * side + x + (i & 7)) + c]! / (64 * 255);
    return rgbToLab(sums.map(SPACES.srgb.display.decode) as [number, number, number], SPACES.srgb);
  };
  const found: number[] = [];
  for (let y = 0; y < side; y += 8) for (let x = 0; x < side; x += 8) found.push(ciede2000(lab(a, x, y), lab(b, x, y)));
  return found;
};

it('keeps the colours of areas of a noisy nebula, better than with coarser colours', async () => {
  const picture = info(128, 128, 3, 'u8');
  const draw = random(5, 1);
  const rows = Uint8Array.from({ length: 3 * 128 * 128 }, (_, i) => {
    const [c, x, y] = [i % 3, Math.floor(i / 3) % 128, Math.floor(i / 384)];
    const filament = 90 * Math.exp(-(((x - 30 - 25 * c - y / 4) / 5) ** 2));
    return Math.max(0, Math.min(255, 40 + filament + 0.4 * y + 4 * draw.normal()));
  });
  const ours = areaDifferences(rows, await pixelsOf(await write(picture, rows)), 128);
  const coarse = await sharp(rows, { raw: { width: 128, height: 128, channels: 3 } })
    .jpeg({ quality: 92, chromaSubsampling: '4:2:0' })
    .toBuffer();
  const others = areaDifferences(rows, await pixelsOf(coarse), 128);
  const mean = (all: readonly number[]) => all.reduce((sum, value) => sum + value, 0) / all.length;
  expect(mean(ours)).toBeLessThan(0.5);
  expect(ours.filter((value) => value > 1).length).toBeLessThan(0.05 * ours.length);
  expect(mean(others)).toBeGreaterThan(1.5 * mean(ours));
});
