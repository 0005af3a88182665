import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import { asWords, inFolder, linewash } from './capture.ts';

const [WIDTH, HEIGHT] = [40, 25];

/** Writes a master of 1000 pixels where not said otherwise, each given by its index from the top left. */
const write = async (
  folder: string,
  name: string,
  type: 'u16' | 'f32',
  value: (i: number) => number,
  cards: [string, string | number][] = [],
  [width, height] = [WIDTH, HEIGHT],
) => {
  const sink = memorySink();
  const info = { width, height, type, cards: cards.map(([keyword, v]) => ({ keyword, value: v })) };
  const writer = writeMono(sink, info);
  const values = Array.from({ length: width * height }, (_, i) => value(i));
  await writer.writeRows(type === 'u16' ? Uint16Array.from(values) : Float32Array.from(values));
  await writer.finish();
  const file = join(folder, name);
  writeFileSync(file, sink.bytes());
  return file;
};

/** The table as one record a line. */
const rows = (text: string): Record<string, string>[] => {
  const [titles, ...lines] = text
    .split('\n\n')[0]!
    .trimEnd()
    .split('\n')
    .map((line) => line.trim().split(/ {2,}/));
  return lines.map((cells) => Object.fromEntries(titles!.map((title, i) => [title, cells[i]!])));
};

const measured = async (words: readonly string[]) => {
  const ran = await linewash(['measure', ...words]);
  expect(ran.code, ran.err).toBe(0);
  return { ...ran, rows: rows(ran.out) };
};

describe('the table of `measure`', () => {
  it('shows what a master is made of, worked out by hand', () =>
    inFolder(async (folder) => {
      // 1000 values 0, 1, … 999 but for ten of them without data.
      const file = await write(folder, 'h.fits', 'f32', (i) => (i < 10 ? Number.NaN : i), [
        ['FILTER', 'H-alpha'],
        ['EXPTIME', 600],
        ['NCOMBINE', 12],
      ]);
      const [h] = (await measured([`H=${file}`, '--at', '12,1'])).rows;
      expect(h).toMatchObject({
        line: 'H',
        size: '40×25',
        type: 'f32',
        filter: 'H-alpha',
        hours: '2',
        // 990 of 1000 pixels.
        counted: '99 %',
        min: '10',
        max: '999',
        // The mean of the middle two of 10 … 999.
        median: '504.5',
        saturated: '0',
        // Row 1, column 12.
        value: '52',
      });
    }));

  it('shows a dash for what is not known, and JSON has null there', () =>
    inFolder(async (folder) => {
      const file = await write(folder, 'h.fits', 'f32', (i) => (i === 41 ? Number.POSITIVE_INFINITY : i));
      const { rows: table } = await measured([`H=${file}`, '--at', '1,1']);
      expect(table[0]).toMatchObject({ filter: '–', hours: '–', value: '–', counted: '99.9 %' });
      expect((await measured([`H=${file}`])).rows[0]).toMatchObject({ value: '–' });
      const json = async (...more: string[]) =>
        JSON.parse((await linewash(['measure', `H=${file}`, '--json', ...more])).out);
      expect((await json('--at', '1,1')).channels[0].value).toBeNull();
      expect((await json('--at', '39,24')).channels[0].value).toBe(999);
      const plain = await json();
      expect(plain.channels[0]).not.toHaveProperty('value');
      expect(plain).not.toHaveProperty('surfaces');
      expect(plain.channels[0]).toMatchObject({
        name: 'H',
        file,
        width: WIDTH,
        height: HEIGHT,
        counted: 999,
        undefined: 1,
      });
    }));

  it.each(['40,0', '0,25'])('refuses the pixel %s of a picture of 40 × 25', (at) =>
    inFolder(async (folder) => {
      const file = await write(folder, 'h.fits', 'f32', (i) => i);
      const ran = await linewash(['measure', `H=${file}`, '--at', at]);
      expect([ran.code, ran.out]).toEqual([2, '']);
      expect(ran.err).toMatch(/h\.fits: .*outside 40 × 25 pixels/);
    }),
  );

  it('says why a line could not be laid on another, and has no such table for one line', () =>
    inFolder(async (folder) => {
      const words = asWords({
        H: await write(folder, 'h.fits', 'f32', (i) => i),
        O: await write(folder, 'o.fits', 'f32', (i) => 2000 - i),
      });
      const { out } = await measured(words);
      expect(out.split('\n\n')[1]).toMatch(/^O +– +– +– +– +– +\S.*$/m);
      expect((await measured(words.slice(0, 1))).out).not.toContain('\n\n');
    }));
});

describe('what `measure` warns of', () => {
  const notes = async (folder: string, type: 'u16' | 'f32', value: (i: number) => number) =>
    (await measured([`H=${await write(folder, 'h.fits', type, value)}`])).err;

  it('a master of one value', () =>
    inFolder(async (folder) => {
      expect(await notes(folder, 'f32', () => 7)).toMatch(/h\.fits: every pixel is 7/);
      expect(await notes(folder, 'f32', (i) => 7 + (i % 500))).toBe('');
    }));

  it('a master that fills its range, as stretched ones do', () =>
    inFolder(async (folder) => {
      expect(await notes(folder, 'u16', (i) => 60 * i)).toMatch(/h\.fits: looks stretched/);
      expect(await notes(folder, 'u16', (i) => 1000 + i)).toBe('');
    }));

  it('more than a thousandth of pixels at the top', () =>
    inFolder(async (folder) => {
      const full = (count: number) => (i: number) => (i < count ? 65535 : 1000 + i);
      expect(await notes(folder, 'u16', full(2))).toMatch(/h\.fits: 0\.2 % of the pixels are saturated/);
      expect(await notes(folder, 'u16', full(1))).toBe('');
      const file = await write(folder, 'h.fits', 'u16', full(1));
      expect((await measured([`H=${file}`])).rows[0]!.saturated).toBe('0.1 %');
    }));
});

describe('masters of different sizes', () => {
  it('are measured in the order given, and each that differs from the first is named', () =>
    inFolder(async (folder) => {
      const one = (name: string, shape: [number, number]) => write(folder, name, 'f32', (i) => i, [], shape);
      const words = asWords({
        H: await one('h.fits', [40, 25]),
        A: await one('a.fits', [25, 40]),
        S: await one('s.fits', [40, 25]),
        O: await one('o.fits', [40, 24]),
      });
      const ran = await linewash(['measure', ...words, '--json']);
      const { channels, warnings } = JSON.parse(ran.out);
      const sizes = channels.map(({ name, width, height }: Record<string, unknown>) => [name, width, height]);
      expect(sizes).toEqual([
        ['H', 40, 25],
        ['A', 25, 40],
        ['S', 40, 25],
        ['O', 40, 24],
      ]);
      const differ = warnings.filter((text: string) => /pixels, but/.test(text));
      expect(differ).toEqual([
        expect.stringMatching(/a\.fits: 25 × 40 pixels, but .*h\.fits has 40 × 25/),
        expect.stringMatching(/o\.fits: 40 × 24 pixels, but .*h\.fits has 40 × 25/),
      ]);
    }));
});
