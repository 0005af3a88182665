import { existsSync, openAsBlob } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { catalogueRecipe, mixFiles } from '../../lib/node/index.ts';
import { memorySink } from '../../lib/parts/index.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';

const sample = (line: string) => new URL(`../../samples/masters/emberwing-${line}.fits`, import.meta.url).pathname;
const inputs = { S: sample('S'), H: sample('H'), O: sample('O') };
const tiff = new URL('../../../shared/data/m42/m42_ha_256_u16.tif', import.meta.url).pathname;
const lines = { S: 's', H: 'h', O: 'o' };
const context = (more: Partial<CallContext> = {}): CallContext => ({
  signal: new AbortController().signal,
  progress: () => {},
  ...more,
});

/** A small master whose value at (x, y) is `value(x, y)`. */
const master = async (width: number, height: number, value: (x: number, y: number) => number): Promise<Blob> => {
  const sink = memorySink();
  const writer = writeMono(sink, { width, height, type: 'f32', cards: [] });
  await writer.writeRows(
    Float32Array.from({ length: width * height }, (_, i) => value(i % width, Math.floor(i / width))),
  );
  await writer.finish();
  return new Blob([sink.bytes()]);
};

describe('the render service', () => {
  const service = createService();
  let folder: string;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'linewash-web-'));
    for (const [line, path] of Object.entries(inputs))
      await service.open({ id: lines[line as 'S'], name: `emberwing-${line}.fits`, from: await openAsBlob(path) });
  });
  afterAll(() => rm(folder, { recursive: true }));

  it('measures every line, with a histogram over all its pixels', async () => {
    const reports = await service.measure({ lines, zeros: 'undefined' }, context());
    expect(reports.map(({ measured }) => measured.name)).toEqual(['S', 'H', 'O']);
    for (const { measured, histogram } of reports) {
      const all = histogram.counts.reduce((a, b) => a + b, 0);
      expect(all).toBe(measured.width * measured.height - measured.undefined);
    }
  });

  it('writes byte for byte what the command line writes', async () => {
    const output = join(folder, 'ember.tif');
    const recipe = catalogueRecipe('ember');
    await mixFiles({ recipe, inputs, output });
    const seen: number[] = [];
    const wish = { lines, recipe, file: 'ember.tif', sample: 'u16' } as const;
    const blob = await service.export(wish, context({ progress: (done) => seen.push(done) }));
    expect(Buffer.compare(Buffer.from(await blob!.arrayBuffer()), await readFile(output))).toBe(0);
    expect(seen.at(-1)).toBe(1);
  });

  it('settles a small picture with the numbers of the full size', async () => {
    const recipe = catalogueRecipe('sho');
    const output = join(folder, 'sho.tif');
    const { settled } = await mixFiles({ recipe, inputs, output });
    const small = await service.preview({ lines, recipe, longest: 200 }, context());
    expect([small.width, small.height]).toEqual([200, 133]);
    expect(small.settled).toEqual(settled);
  });

  it('gives a detail that is that part of the whole', async () => {
    const recipe = catalogueRecipe('hoo');
    const whole = await service.preview({ lines, recipe, longest: 5000 }, context());
    const box = { x: 301, y: 207, width: 33, height: 21 };
    const part = await service.preview({ lines, recipe, box }, context());
    expect(part.data.length).toBe(4 * 33 * 21);
    for (let y = 0; y < box.height; y++) {
      const start = 4 * ((box.y + y) * whole.width + box.x);
      expect(part.data.subarray(4 * 33 * y, 4 * 33 * (y + 1))).toEqual(whole.data.subarray(start, start + 4 * 33));
    }
  });

  it('stops an export that is cancelled', async () => {
    const control = new AbortController();
    const wish = { lines, recipe: catalogueRecipe('sho'), file: 'a.png', sample: 'u16' } as const;
    const stopped = service.export(wish, context({ signal: control.signal, progress: () => control.abort() }));
    await expect(stopped).rejects.toMatchObject({ tag: 'cancelled' });
  });

  it('shows linear light through the transfer curve of sRGB', async () => {
    const recipe = { ...catalogueRecipe('hoo'), space: 'srgb-linear', stretch: { '*': { curve: 'linear' } } } as const;
    const wide = { ...recipe, levels: { '*': { black: 0, white: 1 } }, background: { model: 'none' } } as const;
    // One pixel differs, so that the channel has a range.
    for (const [id, value] of [
      ['half-h', 0.5],
      ['half-o', 0.25],
    ] as const)
      await service.open({ id, name: id, from: await master(8, 8, (x, y) => (x + y === 0 ? 0 : value)) });
    const pixel = async (mixIn: 'light' | 'display') => {
      const asked = { lines: { H: 'half-h', O: 'half-o' }, recipe: { ...wide, mixIn }, longest: 8 };
      return [...(await service.preview(asked, context())).data.subarray(4 * 20, 4 * 21)];
    };
    // IEC 61966-2-1: 0.5 → 0.7354 (188), 0.25 → 0.5371 (137).
    expect(await pixel('light')).toEqual([188, 137, 137, 255]);
    // What is mixed as display values is shown as they are, though the file holds light.
    expect(await pixel('display')).toEqual([128, 64, 64, 255]);
  });

  it('evaluates knobs, and says where one is at fault', async () => {
    const recipe = {
      matrix: [
        [0, 1, 0],
        ['share', 0, '1 - share'],
        [0, 0, 1],
      ],
      knobs: { share: { value: 0.25 } },
      balance: 'rows',
    } as const;
    const written = structuredClone(recipe) as unknown as Parameters<typeof service.preview>[0]['recipe'];
    const shown = await service.preview({ lines, recipe: written, longest: 100 }, context());
    expect(shown.plain.matrix).toEqual([
      [0, 1, 0],
      [0.25, 0, 0.75],
      [0, 0, 1],
    ]);
    const bad = { ...written, knobs: {} };
    await expect(service.preview({ lines, recipe: bad, longest: 100 }, context())).rejects.toMatchObject({
      tag: 'recipe',
    });
  });

  it('names a line without a master, and sizes that differ', async () => {
    const recipe = catalogueRecipe('hoo');
    await expect(service.preview({ lines: { H: 'h' }, recipe, longest: 9 }, context())).rejects.toMatchObject({
      tag: 'input',
      message: 'no master for O',
    });
    await expect(service.preview({ lines: { H: 'h', O: 'half-o' }, recipe, longest: 9 }, context())).rejects.toThrow(
      /8 × 8/,
    );
  });

  it('refuses other files by name', async () => {
    await expect(service.open({ id: 'x', name: 'x.fits', from: new Blob(['hello']) })).rejects.toMatchObject({
      tag: 'format',
      file: 'x.fits',
    });
  });

  it.skipIf(!existsSync(tiff))('opens TIFF as well', async () => {
    const opened = await service.open({ id: 't', name: 'ha.tif', from: await openAsBlob(tiff) });
    expect(opened).toMatchObject({ width: 256, height: 256, type: 'u16' });
  });
});
