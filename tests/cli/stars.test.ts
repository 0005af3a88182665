import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { screen } from '../../lib/colour/screen.ts';
import { formatOf } from '../../lib/formats/pictures.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import type { OutputRows, OutputSample } from '../../lib/plane/picture.ts';
import { inTurn } from '../cases.ts';
import golden from '../golden/prepare/screen.json' with { type: 'json' };
import { asWords, inFolder, linewash, SAMPLES } from './capture.ts';

const words = asWords(SAMPLES);
const [WIDTH, HEIGHT] = [1200, 800];
const PIXELS = WIDTH * HEIGHT;

/** A colour picture as a file, its pixels given by a function of position and band from 0 to 1. */
const write = async (
  file: string,
  sample: OutputSample,
  value: (i: number, band: number) => number,
  pixels = PIXELS,
) => {
  const full = sample === 'u16' ? 65535 : 1;
  const rows: OutputRows = sample === 'u16' ? new Uint16Array(pixels * 3) : new Float32Array(pixels * 3);
  for (let i = 0; i < pixels; i++) for (let b = 0; b < 3; b++) rows[3 * i + b] = value(i, b) * full;
  const sink = memorySink();
  const info = { width: WIDTH, height: pixels / WIDTH, bands: 3, sample, space: 'srgb', note: '' } as const;
  const writer = await formatOf(file)!.writer(sink, info);
  await writer.writeRows(rows);
  await writer.finish();
  await sink.close();
  writeFileSync(file, sink.bytes());
};

const read = async (file: string): Promise<Uint16Array> => {
  const image = sharp(file, { ignoreIcc: true }).pipelineColourspace('rgb16').toColourspace('rgb16');
  const data = await image.raw({ depth: 'ushort' }).toBuffer();
  return new Uint16Array(data.buffer, data.byteOffset, data.length / 2);
};

/** Dots of three colours on black. */
const dots = (i: number, band: number) => (i % 97 === 0 ? [1, 0.6, 0.3][(band + i) % 3]! : 0);

const mixed = async (folder: string, stars: string, ...more: string[]) => {
  const output = join(folder, 'out.png');
  const ran = await linewash(['mix', 'sho', ...words, '-o', output, '--stars', stars, '--json', '--force', ...more]);
  expect(ran.code, ran.err).toBe(0);
  return { ...JSON.parse(ran.out), pixels: await read(output) };
};

describe('screen', () => {
  it.each(golden.values)('of $b and $s is $r, as the W3C says', ({ b, s, r }) =>
    expect(screen(b, s)).toBeCloseTo(r, 15),
  );
});

describe('linewash mix --stars', () => {
  it('lays a display-encoded picture over as it is, and leaves the rest alone', () =>
    inFolder(async (folder) => {
      const stars = join(folder, 'stars.tif');
      await write(stars, 'u16', dots);
      const plain = join(folder, 'plain.png');
      await linewash(['mix', 'sho', ...words, '-o', plain]);
      const mix = await read(plain);
      const { settled, pixels } = await mixed(folder, stars);
      expect(settled.stars).toMatchObject({ strength: 1 });
      expect(settled.stars.channels).toEqual(
        Array(3).fill({ background: 0, black: 0, white: 65535, stretch: { curve: 'linear' } }),
      );
      let worst = 0;
      for (let k = 0; k < PIXELS * 3; k++) {
        // Where O has no data the picture stays black.
        if (mix[k - (k % 3)]! + mix[k - (k % 3) + 1]! + mix[k - (k % 3) + 2]! === 0) continue;
        const wanted = 65535 * screen(mix[k]! / 65535, dots(Math.floor(k / 3), k % 3));
        worst = Math.max(worst, Math.abs(pixels[k]! - wanted));
      }
      expect(worst).toBeLessThan(1.5);
      expect(pixels.filter((v: number, k: number) => v !== mix[k]).length).toBeGreaterThan(5000);
    }));

  it.skipIf(!inTurn('its strength'))('takes its strength, levels and curve from the recipe', () =>
    inFolder(async (folder) => {
      const stars = join(folder, 'stars.fits');
      await write(stars, 'f32', (i, b) => 0.1 + 0.5 * dots(i, b));
      const recipe = join(folder, 'r.json');
      const wish = { strength: 0.5, levels: { black: 0.1, white: 0.6 }, stretch: { curve: 'power', a: 0.5 } };
      writeFileSync(
        recipe,
        JSON.stringify({
          matrix: [
            [0, 0, 0],
            [0, 0, 0],
            [1e-9, 0, 0],
          ],
          stars: wish,
        }),
      );
      const output = join(folder, 'x.png');
      const ran = await linewash(['mix', recipe, words[0]!, '-o', output, '--stars', stars, '--json']);
      expect(ran.code, ran.err).toBe(0);
      const pixels = await read(output);
      for (const i of [0, 97, 194])
        for (let b = 0; b < 3; b++)
          expect(Math.abs(pixels[3 * i + b]! - 65535 * 0.5 * Math.sqrt(dots(i, b)))).toBeLessThan(3);
    }),
  );

  it.skipIf(!inTurn('linear masters'))('takes three linear masters, cuts their sky off and keeps their colours', () =>
    inFolder(async (folder) => {
      const stars = `${SAMPLES.S},${SAMPLES.H},${SAMPLES.O}#1`;
      const { settled, pixels } = await mixed(folder, stars, '--bits', '16');
      expect(settled.stars.channels).toHaveLength(3);
      // Integer masters have a full scale and are taken for display values, unless a recipe says otherwise.
      expect(settled.stars.channels[0]).toMatchObject({ white: 65535 });
      expect(pixels.length).toBe(PIXELS * 3);
      const cube = join(folder, 'linear.fits');
      await write(cube, 'f32', (i, b) => 500 + (i % 7) + 4000 * dots(i, b));
      const linear = await mixed(folder, `${cube}#1..3`);
      const [red, green] = linear.settled.stars.channels;
      expect(red).toMatchObject({ stretch: { curve: 'asinh' } });
      expect(red.background).toBeGreaterThan(499);
      expect(red.black).toBeGreaterThan(3);
      expect(Math.abs((red.white - red.black) / (green.white - green.black) - 1)).toBeLessThan(1e-6);
    }),
  );

  it.skipIf(!inTurn('the rest'))('crops with the rest, works in linear light and with alpha', () =>
    inFolder(async (folder) => {
      const stars = join(folder, 'stars.tif');
      await write(stars, 'u16', dots);
      const { settled } = await mixed(folder, stars, '--crop', '--alpha');
      const { x, y, width, height } = settled.crop;
      const image = await sharp(join(folder, 'out.png')).metadata();
      expect([image.width, image.height, image.channels]).toEqual([width, height, 4]);
      const { data } = await sharp(join(folder, 'out.png'), { ignoreIcc: true })
        .toColourspace('rgb16')
        .raw({ depth: 'ushort' })
        .toBuffer({ resolveWithObject: true });
      const pixels = new Uint16Array(data.buffer, data.byteOffset, data.length / 2);
      let bright = 0;
      for (let r = 0; r < height; r++)
        for (let c = 0; c < width; c++) {
          const i = (y + r) * WIDTH + x + c;
          for (let b = 0; b < 3; b++) if (dots(i, b) === 1 && pixels[4 * (r * width + c) + b] === 65535) bright++;
        }
      expect(bright).toBeGreaterThan(5000);
      const plain = join(folder, 'plain.png');
      await linewash(['mix', 'sho', ...words, '-o', plain, '--space', 'srgb-linear']);
      const mix = await read(plain);
      const linear = await mixed(folder, stars, '--space', 'srgb-linear');
      // Linear light is laid over as the display would show it: encoded by the sRGB curve (IEC 61966-2-1).
      const encode = (v: number) => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
      for (const i of [97 * 3000, 97 * 4000, 97 * 5001])
        for (let b = 0; b < 3; b++) {
          const wanted = screen(encode(mix[3 * i + b]! / 65535), dots(i, b));
          expect(Math.abs(encode(linear.pixels[3 * i + b] / 65535) - wanted)).toBeLessThan(0.001);
        }
    }),
  );

  it('is refused where it does not fit', () =>
    inFolder(async (folder) => {
      const small = join(folder, 'small.tif');
      await write(small, 'u16', dots, 1200 * 10);
      const attempt = (stars: string) =>
        linewash(['mix', 'sho', ...words, '-o', join(folder, 'x.png'), '--stars', stars]);
      expect(await attempt(small)).toMatchObject({
        code: 2,
        err: expect.stringMatching(/small\.tif.* is 1200 × 10 pixels/),
      });
      expect((await attempt(`${small},${small}x`)).err).toMatch(/2 files are given for the stars|cannot be opened/);
      expect((await attempt(`${small}#1..2`)).err).toMatch(/not three planes/);
      expect((await attempt(join(folder, 'no.tif'))).err).toMatch(/no\.tif: cannot be opened/);
      const over = await linewash(['mix', 'sho', ...words, '-o', small, '--force', '--stars', small]);
      expect(over.err).toMatch(/never overwritten/);
    }));
});
