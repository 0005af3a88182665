import { openAsBlob } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { catalogueRecipe, mixFiles } from '../../lib/node/index.ts';
import { smoothedMembers } from '../../lib/smooth/smoothed-lines.ts';
import { createBench } from '../../lib/web/bench.ts';
import { openMaster } from '../../lib/web/open-master.ts';
import { previewOf } from '../../lib/web/preview.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import type { Part } from '../../lib/work/view.ts';
import { masterName } from '../../samples/scene/index.ts';

const context: CallContext = { signal: new AbortController().signal, progress: () => {} };
const lines = { S: 's', H: 'h', O: 'o' };
const sample = (line: string) => new URL(`../../samples/masters/emberwing-${line}.fits`, import.meta.url).pathname;
const small = (line: string) => join(process.env.LINEWASH_SMALL_MASTERS!, masterName(line as 'S'));
const recipe = { ...catalogueRecipe('sho'), smooth: { strength: 0.8 } };

const opened = async (path: (line: string) => string) => {
  const service = createService();
  for (const [line, id] of Object.entries(lines))
    await service.open({ id, name: basename(path(line)), from: await openAsBlob(path(line)) });
  return service;
};

describe('a smoothed mix on the page', () => {
  let service: Awaited<ReturnType<typeof opened>>;
  let folder: string;
  beforeAll(async () => {
    service = await opened(sample);
    folder = await mkdtemp(join(tmpdir(), 'linewash-web-smooth-'));
  });
  afterAll(() => rm(folder, { recursive: true }));

  it('is byte for byte what the command line writes, after another strength was looked at too', async () => {
    const page = await opened(small);
    const inputs = { S: small('S'), H: small('H'), O: small('O') };
    for (const strength of [0.3, 0.9]) {
      const wish = { lines, recipe: { ...recipe, smooth: { strength } } };
      const output = join(folder, `${strength}.tif`);
      const { settled } = await mixFiles({ recipe: wish.recipe, inputs, output, sample: 'u8' });
      const blob = await page.export({ ...wish, file: 'a.tif', sample: 'u8' }, context);
      const bytes = await readFile(output);
      expect(Buffer.compare(Buffer.from(await blob!.arrayBuffer()), bytes)).toBe(0);
      const whole = await page.preview({ ...wish, longest: 5000 }, context);
      expect(whole.settled).toEqual(settled);
      // The pixels on screen, without alpha, are those of the file.
      const colours = whole.data.filter((_, i) => i % 4 < 3);
      expect(bytes.includes(Buffer.from(colours.buffer, 0, colours.length))).toBe(true);
    }
  });

  it('knows the pixels of masters again by what they are, and not by the strength', async () => {
    const bench = createBench();
    for (const [line, id] of Object.entries(lines))
      bench.add(await openMaster(id, `${line}.fits`, await openAsBlob(small(line))));
    const keyOf = async (change: object, part: Part = { longest: 60 }) => {
      const keys: string[] = [];
      const smoother = (key: string) => {
        keys.push(key);
        return smoothedMembers;
      };
      const question = { lines, recipe: { ...recipe, ...change }, ...part };
      await previewOf(bench.lines(lines), question, undefined, { ...context, smoother });
      return keys.join();
    };
    const first = await keyOf({});
    expect(await keyOf({ smooth: { strength: 0.2 }, name: 'Another', gamut: 'clip' })).toBe(first);
    const box = { x: 8, y: 8, width: 20, height: 20 };
    const others = [
      await keyOf({}, { longest: 50 }),
      await keyOf({}, { box }),
      await keyOf({}, { box: { ...box, x: 9 } }),
      await keyOf({ background: { model: 'surface', order: 1 } }),
      await keyOf({ zeros: 'data' }),
    ];
    expect(new Set([first, ...others]).size).toBe(6);
  });

  it('shows a part pixel for pixel as it is in the whole, wherever it lies', async () => {
    for (const scales of [2, 4, 5]) {
      const smooth = { strength: 0.7, scales };
      const wish = { lines, recipe: { ...recipe, smooth } };
      const whole = await service.preview({ ...wish, longest: 5000 }, context);
      const { width, height } = whole;
      for (const box of [
        { x: 0, y: 0, width: 40, height: 30 },
        { x: 301, y: 207, width: 33, height: 21 },
        { x: width - 61, y: height - 35, width: 61, height: 35 },
      ]) {
        const part = await service.preview({ ...wish, box }, context);
        for (let y = 0; y < box.height; y++) {
          const start = 4 * ((box.y + y) * width + box.x);
          const row = part.data.subarray(4 * box.width * y, 4 * box.width * (y + 1));
          expect(row).toEqual(whole.data.subarray(start, start + 4 * box.width));
        }
      }
    }
  });

  it('shows what was removed: grey noise, stronger with the strength, small and pixel for pixel', async () => {
    const spread = async (
      strength: number,
      part: { longest: number } | { box: { x: number; y: number; width: number; height: number } },
    ) => {
      const wish = { lines, recipe: { ...recipe, smooth: { strength } }, removed: 'O', ...part };
      const { data } = await service.preview(wish as Parameters<typeof service.preview>[0], context);
      let [sum, squares, count] = [0, 0, 0];
      for (let i = 0; i < data.length; i += 4) {
        expect(data[i + 1]! === data[i]! && data[i + 2]! === data[i]!).toBe(true);
        if (data[i + 3] === 0) continue;
        sum += data[i]!;
        squares += data[i]! ** 2;
        count++;
      }
      return { mean: sum / count, deviation: Math.sqrt(squares / count - (sum / count) ** 2) };
    };
    const box = { x: 20, y: 20, width: 90, height: 60 };
    for (const part of [{ box }, { longest: 400 }]) {
      const [half, full] = [await spread(0.5, part), await spread(1, part)];
      expect(Math.abs(half.mean - 128)).toBeLessThan(3);
      // 4 times the noise lies between grey and white: nearly all noise of the sky is about 32 steps.
      expect(full.deviation).toBeGreaterThan(15);
      expect(full.deviation).toBeLessThan(36);
      expect(full.deviation / half.deviation).toBeCloseTo(2, 0);
    }
    const wish = { lines, recipe, longest: 200, removed: 'H' };
    await expect(service.preview(wish, context)).rejects.toThrow('H is not smoothed');
  });
});
