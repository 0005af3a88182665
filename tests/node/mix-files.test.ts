import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { ledgerFiles } from '../../lib/node/ledger-files.ts';
import { type MixOptions, mixFiles } from '../../lib/node/mix-files.ts';
import { type SheetOptions, sheetFiles } from '../../lib/node/sheet-files.ts';
import { suggestFiles } from '../../lib/node/suggest-files.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import type { Recipe } from '../../lib/recipe/written/schema.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-mix-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Odd sizes: no whole number of blocks of 2880 bytes. */
const [WIDTH, HEIGHT] = [61, 43];
const at = (name: string) => join(folder, name);
const inputs = { S: at('S.fits'), H: at('H.fits'), O: at('O.fits') };

const writeMaster = async (path: string, width: number, height: number, value: (i: number) => number) => {
  const sink = memorySink();
  const writer = writeMono(sink, { width, height, type: 'f32', cards: [] });
  await writer.writeRows(Float32Array.from({ length: width * height }, (_, i) => value(i)));
  await writer.finish();
  await sink.close();
  writeFileSync(path, sink.bytes());
};

/** A value of each line at each pixel from 0 to 1, never 0 (no data at a border): each line is a slope of its own. */
const VALUES = {
  S: (i: number) => (1 + (i % WIDTH)) / (WIDTH + 1),
  H: (i: number) => (1 + Math.floor(i / WIDTH)) / (HEIGHT + 1),
  O: (i: number) => 1 - (1 + (i % WIDTH)) / (WIDTH + 1),
};

beforeAll(async () => {
  for (const line of ['S', 'H', 'O'] as const) await writeMaster(inputs[line], WIDTH, HEIGHT, VALUES[line]);
});

/** Each line to its own colour, as it is: nothing is measured, nothing is stretched. */
const plain: Recipe = {
  channels: ['S', 'H', 'O'],
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  background: { model: 'level', at: { S: 0, H: 0, O: 0 } },
  levels: { S: { black: 0, white: 1 }, H: { black: 0, white: 1 }, O: { black: 0, white: 1 } },
  stretch: { '*': { curve: 'linear' } },
};

const mix = (output: string, more: Partial<MixOptions> = {}) =>
  mixFiles({ recipe: plain, inputs, output: at(output), force: true, ...more });

const wanted = (i: number) => [VALUES.S(i), VALUES.H(i), VALUES.O(i)].map((v) => Math.fround(v));

describe('a mix of files', () => {
  it.each(['tif', 'png'])('has each line in its own place, every row in its order: .%s', async (ending) => {
    await mix(`x.${ending}`);
    const image = sharp(at(`x.${ending}`), { ignoreIcc: true }).toColourspace('rgb16');
    const { data, info } = await image.raw({ depth: 'ushort' }).toBuffer({ resolveWithObject: true });
    expect([info.width, info.height, info.channels]).toEqual([WIDTH, HEIGHT, 3]);
    const pixels = new Uint16Array(data.buffer, data.byteOffset, data.length / 2);
    for (let i = 0; i < WIDTH * HEIGHT; i++)
      for (const [b, v] of wanted(i).entries())
        expect(Math.abs(pixels[3 * i + b]! - 65535 * v), `${i} ${b}`).toBeLessThan(0.51);
  });

  it('in FITS stands in whole blocks, red, green and blue one after the other, bottom row first', async () => {
    await mix('x.fits');
    const bytes = readFileSync(at('x.fits'));
    // FITS standard 4.0, 3.1: blocks of 2880 bytes; what is left of the last is zero.
    expect(bytes.length % 2880).toBe(0);
    const length = 3 * WIDTH * HEIGHT * 4;
    const start = bytes.length - Math.ceil(length / 2880) * 2880;
    expect(new Set(bytes.subarray(start + length))).toEqual(new Set([0]));
    for (let i = 0; i < WIDTH * HEIGHT; i++) {
      const stored = (HEIGHT - 1 - Math.floor(i / WIDTH)) * WIDTH + (i % WIDTH);
      for (const [b, v] of wanted(i).entries())
        expect(bytes.readFloatBE(start + 4 * (b * WIDTH * HEIGHT + stored))).toBeCloseTo(v, 6);
    }
  });

  it('of one line alone takes that line', async () => {
    const { O } = inputs;
    const matrix = [[1], [1], [1]];
    const recipe: Recipe = {
      ...plain,
      channels: ['O'],
      matrix,
      levels: { O: { black: 0, white: 1 } },
      background: { model: 'level', at: { O: 0 } },
    };
    const { settled } = await mix('o.tif', { recipe, inputs: { S: at('not there'), O } });
    expect(settled.channels.map(({ name }) => name)).toEqual(['O']);
  });

  it('tells how far it has come, in two stages that only grow to 1', async () => {
    const told: [string, number][] = [];
    const { levels: _, background: __, ...measured } = plain;
    await mix('x.tif', { recipe: measured, progress: (stage, done) => told.push([stage, done]) });
    expect([...new Set(told.map(([stage]) => stage))]).toEqual(['measure', 'apply']);
    for (const stage of ['measure', 'apply']) {
      const shares = told.filter(([name]) => name === stage).map(([, done]) => done);
      expect(shares).toEqual([...shares].sort((a, b) => a - b));
      expect(shares.at(-1)).toBe(1);
    }
  });

  it.each<[string, Partial<MixOptions>, string, RegExp]>([
    ['an ending of no format', { output: at('x.gif') }, 'output', /unknown file extension/],
    ['bits that the format has not', { output: at('x.fits'), sample: 'u8' }, 'output', /FITS is written with/],
    ['a picture that exists', { output: at('there.tif'), force: false }, 'output', /exists already/],
    ['a folder', { output: at('folder.tif') }, 'output', /is a folder/],
    ['a master', { output: inputs.H }, 'output', /never overwritten/],
    ['a missing line', { inputs: { H: inputs.H } }, 'input', /no master for S, O \(given: H\)/],
    ['no masters at all', { inputs: {} }, 'input', /given: none/],
    ['one file for two lines', { inputs: { ...inputs, O: inputs.S } }, 'input', /given for both S and O/],
    [
      'masters of different sizes, though nothing is measured',
      { inputs: { ...inputs, O: at('small.fits') } },
      'input',
      /40 × 30/,
    ],
    [
      'masters of different sizes',
      { recipe: { ...plain, background: undefined, levels: undefined }, inputs: { ...inputs, O: at('small.fits') } },
      'input',
      /40 × 30/,
    ],
    ['stars of another size', { stars: at('small.fits') }, 'input', /40 × 30/],
    ['two files for the stars', { stars: `${inputs.S},${inputs.O}` }, 'input', /2 files are given for the stars/],
    ['planes that are not three', { stars: `${inputs.S}#1..2` }, 'input', /not three planes/],
    ['planes before the first', { stars: `${inputs.S}#0..2` }, 'input', /not three planes/],
  ])('refuses %s', async (_, more, tag, message) => {
    writeFileSync(at('there.tif'), 'mine');
    mkdirSync(at('folder.tif'), { recursive: true });
    await writeMaster(at('small.fits'), 40, 30, (i) => i);
    const before = readFileSync(inputs.H);
    const names = readdirSync(folder);
    const refused = mix('refused.tif', more);
    await expect(refused).rejects.toMatchObject({ tag, message: expect.stringMatching(message) });
    expect(readFileSync(at('there.tif'), 'utf8')).toBe('mine');
    expect(readFileSync(inputs.H).equals(before)).toBe(true);
    expect(readdirSync(folder)).toEqual(names);
  });
});

describe('a sheet of files', () => {
  const cell = (recipe: Recipe, caption: string) => ({ recipe, caption });
  const sheet = (more: Partial<SheetOptions>) =>
    sheetFiles({ recipes: [cell(plain, 'plain')], inputs, output: at('sheet.png'), force: true, ...more });

  it('is refused with stars of another size, for a master as output, and for endings of no 8 bits', async () => {
    await writeMaster(at('small.fits'), 40, 30, (i) => i);
    await expect(sheet({ stars: at('small.fits') })).rejects.toThrow(/40 × 30/);
    await expect(sheet({ output: at('x.fits') })).rejects.toThrow(/\.tif, \.png or \.jpg/);
    expect(existsSync(at('sheet.png'))).toBe(false);
  });

  it('names the recipe that a warning concerns, but not where it concerns all', async () => {
    await writeMaster(at('flat.fits'), WIDTH, HEIGHT, () => 7);
    const { levels: _, background: __, ...measured } = plain;
    const two = (channels: [string, string]): Recipe => ({
      ...measured,
      channels,
      matrix: [
        [1, 0],
        [0, 1],
        [0, 1],
      ],
    });
    const flat = { ...inputs, S: at('flat.fits') };
    const without = await sheet({ inputs: flat, recipes: [cell(two(['H', 'O']), 'a'), cell(two(['O', 'H']), 'b')] });
    const one = await sheet({ inputs: flat, recipes: [cell(two(['H', 'O']), 'a'), cell(two(['S', 'O']), 'b')] });
    const all = await sheet({ inputs: flat, recipes: [cell(two(['S', 'H']), 'a'), cell(two(['S', 'O']), 'b')] });
    const ofFlat = (warnings: readonly string[]) => warnings.filter((text) => !without.warnings.includes(text));
    const [alone] = ofFlat(all.warnings);
    expect(alone).toMatch(/S/);
    expect(ofFlat(all.warnings)).toEqual([alone]);
    expect(ofFlat(one.warnings)).toContain(`b: ${alone}`);
  });
});

describe('a mix with a legend', () => {
  it('has a strip below the same picture, with the colour of each line, on any number of threads', async () => {
    const pixels = async (name: string) => sharp(at(name)).raw({ depth: 'uchar' }).toBuffer();
    await mix('bare.png', { sample: 'u8' });
    const { height } = await mix('legend.png', { sample: 'u8', legend: true });
    expect(height).toBeGreaterThan(HEIGHT + 20);
    const [bare, all] = await Promise.all(['bare.png', 'legend.png'].map(pixels));
    expect(all!.length).toBe(3 * WIDTH * height);
    expect(all!.subarray(0, bare!.length).equals(bare!)).toBe(true);
    const strip = all!.subarray(bare!.length);
    for (const colour of ['ff0000', '00ff00']) expect(strip.toString('hex')).toContain(colour.repeat(5));
    await mix('one.png', { sample: 'u8', legend: true, threads: 1 });
    expect(readFileSync(at('one.png')).equals(readFileSync(at('legend.png')))).toBe(true);
    await expect(mix('legend.fits', { legend: true })).rejects.toThrow(/FITS holds data/);
  });
});

describe('looks at files', () => {
  it('tell how far they have come: the ledger by measuring and surveying', async () => {
    const told: [string, number][] = [];
    // Asks for what no mix before has found.
    const recipe: Recipe = { channels: plain.channels!, matrix: plain.matrix, background: { from: 'dark-blocks' } };
    const { ledger } = await ledgerFiles({ recipe, inputs, progress: (stage, done) => told.push([stage, done]) });
    expect(ledger.lines).toEqual(['S', 'H', 'O']);
    expect([...new Set(told.map(([stage]) => stage))]).toEqual(['measure', 'survey']);
    for (const stage of ['measure', 'survey']) {
      const shares = told.filter(([name]) => name === stage).map(([, done]) => done);
      expect(shares).toEqual([...shares].sort((a, b) => a - b));
      expect(shares.at(-1)).toBeGreaterThan(0.9);
    }
  });

  it('for suggestions refuse one line, and one file for two', async () => {
    await expect(suggestFiles({ inputs: { H: inputs.H } })).rejects.toThrow(/one line alone/);
    await expect(suggestFiles({ inputs: { H: inputs.H, O: inputs.H } })).rejects.toThrow(/given for both H and O/);
  });
});
