import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { catalogueRecipe } from '../../lib/checked.ts';
import { openMasters } from '../../lib/node/masters/masters.ts';
import { type MixOptions, mixFiles } from '../../lib/node/mix-files.ts';
import { starlessFiles } from '../../lib/node/starless-files.ts';
import { pictureLayers } from '../../lib/recipe/settle/layered.ts';
import { settleChannels } from '../../lib/recipe/settle/settle-channels.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { pictureInMemory, renderPicture } from '../../lib/render/picture.ts';
import { masterName } from '../../samples/scene/index.ts';
import { inTurn } from '../cases.ts';
import { asWords, linewash } from '../cli/capture.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-own-stars-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const inputs = Object.fromEntries(
  (['S', 'H', 'O'] as const).map((line) => [line, join(process.env.LINEWASH_SMALL_MASTERS!, masterName(line))]),
);
const sho = await catalogueRecipe('sho');
const neutral: WrittenRecipe = { ...sho, stars: { from: 'masters', neutral: 0.9, size: 0.6, tint: '#ffe9c8' } };

const bytesOf = async (name: string, options: Partial<MixOptions> = {}) => {
  const output = join(folder, name);
  const result = await mixFiles({ recipe: neutral, inputs, output, force: true, ...options });
  return { result, bytes: readFileSync(output) };
};

describe('a picture with neutral stars in a file', () => {
  it('has the same bytes on any number of threads, in every format, smoothed or not, cut or whole', async () => {
    for (const [name, recipe, crop] of [
      ['a.tif', neutral, false],
      ['a.png', { ...neutral, smooth: { strength: 0.8 } }, true],
      ['a.fits', { ...neutral, smooth: { strength: 0.8 } }, false],
    ] as const) {
      const one = await bytesOf(name, { recipe, crop, threads: 1 });
      expect(one.result.settled.ownStars?.count).toBeGreaterThan(20);
      expect((await bytesOf(name, { recipe, crop, threads: 3 })).bytes.equals(one.bytes)).toBe(true);
    }
  });

  it.skipIf(!inTurn('one thread'))('has the pixels that one thread computes from the masters in memory', async () => {
    const { bytes } = await bytesOf('b.tif', { sample: 'f32' });
    const masters = await openMasters(inputs);
    const { settled } = await settleChannels(neutral, masters);
    const { width, height } = masters[0]!.source;
    const form = { width, height, sample: 'f32', bands: 3 } as const;
    const { writer, picture } = pictureInMemory(form);
    const { channels, stars } = pictureLayers(settled, masters);
    await renderPicture(channels, settled, form, writer, {}, stars);
    const data = Buffer.from(picture.data.buffer, picture.data.byteOffset, picture.data.byteLength);
    expect(bytes.includes(data)).toBe(true);
    await Promise.all(masters.flatMap(({ files }) => files.map((file) => file.bytes.close())));
  });

  it('says in its note how many stars there were, and which, but not where', async () => {
    const { bytes, result } = await bytesOf('c.fits');
    expect(result.settled.ownStars).not.toHaveProperty('list');
    const text = bytes.toString('latin1');
    expect(text).not.toContain('"data"');
    expect(result.settled.ownStars?.hash).toMatch(/^[0-9a-f]{64}$/);
  });

  it('is refused together with a picture of stars', async () => {
    const stars = join(folder, 'c.fits');
    await expect(mixFiles({ recipe: neutral, inputs, stars, output: join(folder, 'd.tif') })).rejects.toMatchObject({
      tag: 'input',
      message: expect.stringContaining('takes the stars of the masters'),
    });
    expect(existsSync(join(folder, 'd.tif'))).toBe(false);
  });
});

const words = asWords(inputs);

describe('stars on the command line', () => {
  it.skipIf(!inTurn('neutral as'))('are made neutral as the recipe would', async () => {
    const output = join(folder, 'flags.png');
    const flags = ['--neutral-stars', '0.9', '--star-size', '0.6', '--star-tint', '#ffe9c8'];
    const ran = await linewash(['mix', 'sho', ...words, '-o', output, ...flags, '--force']);
    expect(ran.code, ran.err).toBe(0);
    const { bytes } = await bytesOf('flags2.png');
    expect(readFileSync(output).equals(bytes)).toBe(true);
  });

  it('need a tint that has light', async () => {
    for (const [tint, why] of [
      ['#000', 'has no light'],
      ['reddish', 'is not a CSS colour'],
    ]) {
      const ran = await linewash(['mix', 'sho', ...words, '-o', join(folder, 'e.png'), '--star-tint', tint!]);
      expect(ran.code).toBe(2);
      expect(ran.err).toContain(why);
    }
  });

  it.skipIf(!inTurn('and measured'))('are listed, and measured over the frame', async () => {
    const csv = await linewash(['measure', ...words, '--csv', '--quiet']);
    const rows = csv.out.trim().split('\n');
    expect(rows[0]).toBe('x,y,snr,peak_S,peak_H,peak_O');
    const json = JSON.parse((await linewash(['measure', ...words, '--stars', '--json', '--quiet'])).out);
    expect(json.stars.count).toBe(rows.length - 1);
    expect(json.stars.list).toHaveLength(json.stars.count);
    for (const { fwhm, parts } of json.stars.lines) {
      expect(fwhm).toBeGreaterThan(1.5);
      expect(fwhm).toBeLessThan(4);
      expect(parts).toHaveLength(3);
    }
    const text = await linewash(['measure', ...words, '--stars', '--quiet']);
    expect(text.out).toContain(`${json.stars.count} stars`);
  });
});

describe('masters without stars', () => {
  it('are those that a mix without stars is made of', async () => {
    const output = join(folder, 'starless');
    const ran = await linewash(['starless', ...words, '-o', output, '--quiet']);
    expect(ran.code, ran.err).toBe(0);
    expect(readdirSync(output).sort()).toEqual(['H-starless.fits', 'O-starless.fits', 'S-starless.fits']);
    const [before, after] = [await openMasters(inputs), await openMasters({ S: '', H: '', O: '', ...paths(output) })];
    const { width, height } = before[0]!.source;
    let changed = 0;
    for (const [k, { source }] of before.entries()) {
      const [a, b] = [new Float32Array(width * height), new Float32Array(width * height)];
      await source.readRows(0, height, a);
      await after[k]!.source.readRows(0, height, b);
      expect(after[k]!.source.facts.filter).toBe(source.facts.filter);
      for (const [i, value] of a.entries()) if (value !== b[i] && !Number.isNaN(value)) changed++;
    }
    expect(changed / (3 * width * height)).toBeGreaterThan(0.005);
    expect(changed / (3 * width * height)).toBeLessThan(0.3);
    await Promise.all([...before, ...after].flatMap(({ files }) => files.map((file) => file.bytes.close())));
  });

  it.skipIf(!inTurn('nothing unasked'))('replace nothing unasked, and leave nothing half done', async () => {
    const output = join(folder, 'taken');
    await starlessFiles({ inputs, output });
    writeFileSync(join(output, 'H-starless.fits'), 'mine');
    rmSync(join(output, 'S-starless.fits'));
    await expect(starlessFiles({ inputs, output })).rejects.toMatchObject({ tag: 'output' });
    expect(readFileSync(join(output, 'H-starless.fits'), 'utf8')).toBe('mine');
    expect(readdirSync(output).sort()).toEqual(['H-starless.fits', 'O-starless.fits']);
  });
});

const paths = (output: string) =>
  Object.fromEntries(['S', 'H', 'O'].map((line) => [line, join(output, `${line}-starless.fits`)]));
