import { openAsBlob } from 'node:fs';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { holdFiles } from '../../lib/node/hold-files.ts';
import { sheetFiles } from '../../lib/node/sheet-files.ts';
import { suggestFiles } from '../../lib/node/suggest-files.ts';
import { catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import type { Recipe } from '../../lib/recipe/written/schema.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import { MIDDLE } from '../../lib/work/small-copies.ts';
import { random } from '../../samples/scene/random.ts';

const context: CallContext = { signal: new AbortController().signal, progress: () => {} };
/** Wider than the copy that smaller ones are made from. */
const SIZE = { width: MIDDLE + 331, height: 90 };
const LINES = ['S', 'H', 'O'] as const;

/** Clouds of different places in each line, and a border without data. */
const master = async (line: number): Promise<Uint8Array> => {
  const draw = random(7, line);
  const data = Float32Array.from({ length: SIZE.width * SIZE.height }, (_, i) => {
    const [x, y] = [i % SIZE.width, Math.floor(i / SIZE.width)];
    const cloud = 300 * Math.exp(-(((x - 400 - 500 * line) / 300) ** 2) - ((y - 45) / 30) ** 2);
    return x < 7 * line ? Number.NaN : 1000 + cloud + 6 * draw.normal();
  });
  const sink = memorySink();
  const writer = writeMono(sink, { ...SIZE, type: 'f32', cards: [] });
  await writer.writeRows(data);
  await writer.finish();
  return sink.bytes();
};

describe('masters larger than the picture on screen', () => {
  const service = createService();
  const lines = { S: 's', H: 'h', O: 'o' };
  const inputs: Record<string, string> = {};
  let folder: string;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'linewash-both-'));
    for (const [i, line] of LINES.entries()) {
      inputs[line] = join(folder, `${line}.fits`);
      await writeFile(inputs[line], await master(i));
      await service.open({ id: lines[line], name: `${line}.fits`, from: await openAsBlob(inputs[line]) });
    }
  });
  afterAll(() => rm(folder, { recursive: true, force: true }));

  it('hold a colour by the same weights on page and command line', { timeout: 60_000 }, async () => {
    const recipe = catalogueRecipe('sho') as Recipe;
    const places = [{ at: { x: 420, y: 45 }, colour: '0.08@235' }];
    const file = await holdFiles({ recipe, plain: recipe, places, inputs });
    const page = await service.hold({ lines, recipe, places }, context);
    expect(page.weights).toEqual(file.weights);
    expect([page.price, page.places]).toEqual([file.price, file.places]);
    expect(page.weights).not.toEqual(recipe.matrix);
    expect(page.places[0]!.left).toBeLessThan(0.02);
  });

  it.each([false, true])('are drawn as the same sheet by page and command line (cropped: %s)', async (crop) => {
    const recipes = (['ember', 'hoo'] as const).map((name) => ({
      caption: name,
      recipe: catalogueRecipe(name) as Recipe,
    }));
    const output = join(folder, `sheet-${crop}.png`);
    await sheetFiles({ recipes, inputs, output, size: 200, crop });
    const page = await service.sheet({ lines, recipes, file: 'sheet.png', size: 200, crop }, context);
    expect(Buffer.from(await page.arrayBuffer()).equals(await readFile(output))).toBe(true);
  });

  it('get the same suggestions', async () => {
    const { suggestions } = await suggestFiles({ inputs });
    expect(suggestions.length).toBeGreaterThan(0);
    expect((await service.suggest({ lines }, context)).suggestions).toEqual(suggestions);
  });
});
