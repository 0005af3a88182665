import { openAsBlob } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { mixFiles } from '../../lib/node/mix-files.ts';
import { sheetFiles } from '../../lib/node/sheet-files.ts';
import { catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { memorySink } from '../../lib/parts/index.ts';
import { pictureNote } from '../../lib/recipe/written/open.ts';
import type { Recipe } from '../../lib/recipe/written/schema.ts';
import { blobSource } from '../../lib/web/bytes/blob-source.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import { inTurn } from '../cases.ts';

const sample = (line: string) => new URL(`../../samples/masters/emberwing-${line}.fits`, import.meta.url).pathname;
const context: CallContext = { signal: new AbortController().signal, progress: () => {} };
const SIZE = { width: 240, height: 160 };
const OPENED = { ...SIZE, warnings: [] };

/** A field of one shape in another night's noise, some columns at the left without data. */
const night = async (name: string, seed: number, noise: number, empty = 0): Promise<{ name: string; blob: Blob }> => {
  let state = seed;
  const random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  const data = Float32Array.from({ length: SIZE.width * SIZE.height }, (_, i) => {
    const [x, y] = [i % SIZE.width, Math.floor(i / SIZE.width)];
    // A trail crosses the newer master of O.
    const trail = name === 'o-new.fits' ? 900 * Math.exp(-((x - 0.6 * y - 90) ** 2) / 3) : 0;
    const bump = 400 * Math.exp(-((x - 120) ** 2 + (y - 80) ** 2) / 1800);
    return x < empty ? Number.NaN : 100 + bump + trail + noise * (random() + random() + random() - 1.5);
  });
  const sink = memorySink();
  const writer = writeMono(sink, { ...SIZE, type: 'f32', cards: [] });
  await writer.writeRows(data);
  await writer.finish();
  return { name, blob: new Blob([sink.bytes()]) };
};

describe('what the page adds to a mix', () => {
  const service = createService();
  const recipe = catalogueRecipe('hoo');
  let folder: string;
  const files: Record<string, Blob> = {};
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'linewash-composing-'));
    for (const [name, seed, noise, empty] of [
      ['h.fits', 1, 20, 0],
      ['o-old.fits', 2, 40, 12],
      ['o-new.fits', 3, 30, 0],
      ['red.fits', 4, 5, 0],
      ['green.fits', 5, 5, 0],
      ['blue.fits', 6, 5, 0],
    ] as const) {
      const { blob } = await night(name, seed, noise, empty);
      files[name] = blob;
      const { writeFile } = await import('node:fs/promises');
      await writeFile(join(folder, name), new Uint8Array(await blob.arrayBuffer()));
      if (!name.match(/red|green|blue/)) await service.open({ id: name, name, from: blob });
    }
    await service.open({ id: 'copy', name: 'copy.fits', from: files['o-old.fits']! });
  });
  afterAll(() => rm(folder, { recursive: true }));

  const path = (name: string) => join(folder, name);
  const same = async (blob: Blob, file: string) =>
    Buffer.compare(Buffer.from(await blob.arrayBuffer()), await readFile(file)) === 0;

  it.skipIf(!inTurn('one line'))(
    'combines masters of one line byte for byte as the command line does, and tells the gain',
    async () => {
      const lines = { H: 'h.fits', O: 'o-old.fits+o-new.fits' };
      const [found] = await service.combinations({ lines }, context);
      expect(found!.parts.map(({ file }) => file)).toEqual(['o-old.fits', 'o-new.fits']);
      // Inverse variances of noises 40 and 30: 9 : 16, and √(1/40² + 1/30²) · 30 = 1.25.
      expect(found!.parts[1]!.weight).toBeCloseTo(0.64, 1);
      expect(found!.gain).toBeCloseTo(1.25, 1);
      const blob = await service.export({ lines, recipe, file: 'page.tif', sample: 'u16' }, context);
      const inputs = { H: path('h.fits'), O: `${path('o-old.fits')},${path('o-new.fits')}` };
      await mixFiles({ recipe, inputs, output: path('command.tif') });
      expect(await same(blob!, path('command.tif'))).toBe(true);
      const jpeg = await service.export({ lines, recipe, file: 'page.jpg', sample: 'u8' }, context);
      await mixFiles({ recipe, inputs, output: path('command.jpg') });
      expect(await same(jpeg!, path('command.jpg'))).toBe(true);
    },
  );

  it('adds the legend that the command line adds', async () => {
    const lines = { H: 'h.fits', O: 'o-old.fits' };
    const inputs = { H: path('h.fits'), O: path('o-old.fits') };
    for (const [name, sample] of [
      ['legend.png', 'u8'],
      ['legend.tif', 'u16'],
      ['legend.jpg', 'u8'],
    ] as const) {
      const blob = await service.export({ lines, recipe, file: name, sample, legend: true }, context);
      await mixFiles({ recipe, inputs, output: path(name), sample, legend: true });
      expect(await same(blob!, path(name)), name).toBe(true);
    }
    const wish = { lines, recipe, file: 'legend.fits', sample: 'f32', legend: true } as const;
    await expect(service.export(wish, context)).rejects.toThrow(/FITS holds data/);
  });

  it('refuses a copy as a second master', async () => {
    const lines = { H: 'h.fits', O: 'o-old.fits+copy' };
    await expect(service.combinations({ lines }, context)).rejects.toMatchObject({ tag: 'input' });
  });

  it('crops to what all lines cover, byte for byte as the command line does', async () => {
    const lines = { H: 'h.fits', O: 'o-old.fits' };
    expect((await service.cover({ lines, recipe }, context)).box).toEqual({ x: 12, y: 0, width: 228, height: 160 });
    const blob = await service.export({ lines, recipe, file: 'page.tif', sample: 'u16', crop: true }, context);
    await mixFiles({
      recipe,
      inputs: { H: path('h.fits'), O: path('o-old.fits') },
      output: path('crop.tif'),
      crop: true,
    });
    expect(await same(blob!, path('crop.tif'))).toBe(true);
    expect(await service.cover({ lines: { H: 'h.fits', O: 'o-new.fits' }, recipe }, context)).toEqual({ warnings: [] });
  });

  it('lays stars over, on screen as in the file, byte for byte as the command line does', async () => {
    const lines = { H: 'h.fits', O: 'o-new.fits' };
    const names = ['red.fits', 'green.fits', 'blue.fits'];
    const opened = await service.openStars({ files: names.map((name) => ({ name, blob: files[name]! })) });
    expect(opened).toEqual(OPENED);
    const starry = { ...recipe, stars: { strength: 0.5 } };
    const blob = await service.export({ lines, recipe: starry, file: 'page.tif', sample: 'u8', stars: true }, context);
    const inputs = { H: path('h.fits'), O: path('o-new.fits') };
    const stars = names.map(path).join(',');
    await mixFiles({ recipe: starry, inputs, stars, output: path('stars.tif'), sample: 'u8' });
    expect(await same(blob!, path('stars.tif'))).toBe(true);
    const note = await pictureNote(blobSource('page.tif', blob!));
    expect(note).toContain('"green.fits"');
    const shown = await service.preview({ lines, recipe: starry, longest: 1600, stars: true }, context);
    const plain = await service.preview({ lines, recipe, longest: 1600 }, context);
    const sum = (data: Uint8ClampedArray) => data.reduce((a, b) => a + b, 0);
    expect(sum(shown.data)).toBeGreaterThan(sum(plain.data));
    const box = { x: 100, y: 60, width: 40, height: 30 };
    const part = await service.preview({ lines, recipe: starry, box, stars: true }, context);
    const at = (x: number, y: number) => [
      ...shown.data.subarray(4 * (y * SIZE.width + x), 4 * (y * SIZE.width + x) + 4),
    ];
    expect([...part.data.subarray(0, 4)]).toEqual(at(100, 60));
  });

  it('draws a sheet byte for byte as the command line does', async () => {
    const recipes = ['hoo', 'hoo'].map((id, i) => ({ caption: `Mix ${i}`, recipe: catalogueRecipe(id) as Recipe }));
    const lines = { H: 'h.fits', O: 'o-new.fits' };
    const blob = await service.sheet({ lines, recipes, file: 'wall.png', size: 120 }, context);
    const inputs = { H: path('h.fits'), O: path('o-new.fits') };
    await sheetFiles({ recipes, inputs, output: path('wall.png'), size: 120 });
    expect(await same(blob, path('wall.png'))).toBe(true);
    await expect(service.sheet({ lines, recipes, file: 'wall.fits', size: 120 }, context)).rejects.toMatchObject({
      tag: 'output',
    });
  });

  it('draws a sheet with stars and cropped byte for byte as the command line does', async () => {
    const recipes = [1, 0.5].map((strength, i) => ({
      caption: `Mix ${i}`,
      recipe: { ...(catalogueRecipe('hoo') as Recipe), stars: { strength } },
    }));
    const lines = { H: 'h.fits', O: 'o-old.fits' };
    const names = ['red.fits', 'green.fits', 'blue.fits'];
    await service.openStars({ files: names.map((name) => ({ name, blob: files[name]! })) });
    const inputs = { H: path('h.fits'), O: path('o-old.fits') };
    const seen = new Set<string>();
    for (const [i, more] of [{}, { crop: true }, { stars: true }, { stars: true, crop: true }].entries()) {
      const blob = await service.sheet({ lines, recipes, file: 'wall.png', size: 120, ...more }, context);
      const output = path(`wall-${i}.png`);
      const stars = 'stars' in more ? names.map(path).join(',') : undefined;
      const { width } = await sheetFiles({ recipes, inputs, output, size: 120, crop: 'crop' in more, stars });
      expect(await same(blob, output)).toBe(true);
      // 12 of 240 columns have no data: 6 of 120.
      expect(width).toBe(
        (await sheetFiles({ recipes, inputs, output: path(`again-${i}.png`), size: 120 })).width -
          ('crop' in more ? 12 : 0),
      );
      seen.add(Buffer.from(await blob.arrayBuffer()).toString('base64'));
    }
    expect(seen.size).toBe(4);
  });

  it('tells colour pictures from masters', async () => {
    expect(await service.isColour({ name: 'h.fits', blob: files['h.fits']! })).toBe(false);
    expect(await service.isColour({ name: 'x', blob: new Blob(['neither']) })).toBe(false);
    const lines = { H: 'h.fits', O: 'o-new.fits' };
    const blob = await service.export({ lines, recipe, file: 'page.tif', sample: 'u8' }, context);
    expect(await service.isColour({ name: 'page.tif', blob: blob! })).toBe(true);
    const opened = await service.openStars({ files: [{ name: 'page.tif', blob: blob! }] });
    expect(opened).toEqual(OPENED);
  });

  it('refuses two files for the stars, and stars of another size', async () => {
    const two = ['red.fits', 'green.fits'].map((name) => ({ name, blob: files[name]! }));
    await expect(service.openStars({ files: two })).rejects.toMatchObject({ tag: 'input' });
    await service.open({ id: 'S', name: 'S.fits', from: await openAsBlob(sample('S')) });
    const stars = [{ name: 'red.fits', blob: files['red.fits']! }];
    await expect(service.openStars({ files: stars, lines: { S: 'S' } })).rejects.toMatchObject({
      tag: 'input',
      message: expect.stringContaining('red.fits is 240 × 160 pixels'),
    });
    expect(await service.openStars({ files: stars, lines: { H: 'h.fits' } })).toEqual(OPENED);
    const one = { channels: ['S'], matrix: [[1], [1], [1]] };
    await expect(
      service.preview({ lines: { S: 'S' }, recipe: one, longest: 400, stars: true }, context),
    ).rejects.toMatchObject({
      tag: 'input',
    });
  });

  it('shows the background surface of a line with the blocks that it rests on', async () => {
    const question = { lines: { H: 'h.fits' }, line: 'H', zeros: 'undefined' as const };
    const background = { model: 'surface' as const, order: 1 as const };
    const view = await service.surface({ ...question, background }, context);
    expect(view.blocks.length).toBe(150);
    // The bump in the middle is no sky, the corners are.
    const near = (x: number, y: number) => view.blocks.find((b) => Math.hypot(b.x - x, b.y - y) < 8)!;
    expect([near(120, 80).used, near(8, 8).used, near(232, 152).used]).toEqual([false, true, true]);
    expect(view.box).toEqual({ x: 0, y: 0, width: 240, height: 160 });
    expect(view.picture.data.length).toBe(4 * view.picture.width * view.picture.height);
  });

  it('draws the surface in grey, opaque, with colour at the blocks that were left out and nowhere else', async () => {
    const question = { lines: { H: 'h.fits' }, line: 'H', zeros: 'undefined' as const };
    const background = { model: 'surface' as const, order: 1 as const };
    const { picture, blocks, size, box } = await service.surface({ ...question, background }, context);
    const { width, data } = picture;
    const scale = box.width / width;
    const blockAt = (i: number) => {
      const [x, y] = [(i % width) * scale, Math.floor(i / width) * scale];
      return blocks.find(
        (b) => Math.floor(b.x / size) === Math.floor(x / size) && Math.floor(b.y / size) === Math.floor(y / size),
      )!;
    };
    const coloured = new Set<unknown>();
    const greys = new Set<number>();
    for (let i = 0; 4 * i < data.length; i++) {
      const [r, g, b, alpha] = data.subarray(4 * i, 4 * i + 4);
      if (alpha !== 255) throw new Error(`pixel ${i} is not opaque`);
      if (r === g && g === b) greys.add(r!);
      else coloured.add(blockAt(i));
    }
    expect(coloured).toEqual(new Set(blocks.filter(({ used }) => !used)));
    expect(greys.size).toBeGreaterThan(50);
  });
});
