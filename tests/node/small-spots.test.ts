import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { openPlane } from '../../lib/formats/open.ts';
import { drawCells } from '../../lib/node/batch/cells.ts';
import { openFile } from '../../lib/node/files/file-source.ts';
import { checkFiles, mixFiles, suggestFiles } from '../../lib/node/index.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { filled } from '../../lib/prepare/fill.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { linewash } from '../cli/capture.ts';

/** Small copies have 480 pixels for a gain and for suggestions: a wider frame is shrunk, and its spots are spread. */
const WIDTH = 600;
type Inputs = Record<'H' | 'O', string>;
let folder: string;
/** Masters with hot pixels, and the same whose O is filled in the file. */
let hot: Inputs;
let clean: Inputs;
const at = (name: string) => join(folder, name);

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'linewash-small-spots-'));
  await linewash(['samples', folder, '--target', 'palehoop', '--size', String(WIDTH), '--quiet']);
  const drawn = at('palehoop-O.fits');
  hot = { H: at('palehoop-H.fits'), O: at('hot-O.fits') };
  clean = { ...hot, O: at('filled-O.fits') };
  const bytes = await openFile(drawn, drawn);
  const source = await openPlane(bytes);
  const { width, height, facts } = source;
  const data = new Float32Array(width * height);
  await source.readRows(0, height, data);
  await bytes.close();
  const write = async (file: string, values: Float32Array) => {
    const sink = memorySink();
    const cards = facts.cards.filter(({ keyword }) => /^(FILTER|EXPTIME|NCOMBINE|OBJECT)$/.test(keyword));
    const writer = writeMono(sink, { width, height, type: 'f32', cards });
    await writer.writeRows(values);
    await writer.finish();
    await writeFile(file, sink.bytes());
  };
  // A thousand more a megapixel than the scene has.
  let state = 5;
  const random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  for (let k = 0; k < 300; k++) data[Math.floor(random() * data.length)]! += 2000 * 10 ** random();
  await write(hot.O, data);
  const { places } = (await checkFiles({ inputs: hot })).defects.find(({ kind }) => kind === 'spots')!;
  const byRows = [...places!].map(([x, y]) => [x, y] as const).sort((a, b) => a[1] - b[1] || a[0] - b[0]);
  const filling = filled(planeSource('hot', { width, height, data }), { width, height, at: byRows });
  const without = new Float32Array(width * height);
  await filling.readRows(0, height, without);
  await write(clean.O, without);
});
afterAll(() => rm(folder, { recursive: true }));

it('suggests what it suggests for masters that hold no spots, and says so in the recipes', async () => {
  // Unfilled masters give other weights.
  const asked = await suggestFiles({ inputs: hot, spots: 'fill' });
  const wanted = await suggestFiles({ inputs: clean });
  const recipes = ({ suggestions }: typeof asked) => suggestions.map(({ recipe: { spots: _, ...rest } }) => rest);
  expect(recipes(asked)).toEqual(recipes(wanted));
  expect(asked.suggestions.map(({ recipe }) => recipe.spots)).toEqual(asked.suggestions.map(() => 'fill'));
});

/** Pale, so that there is a gain to be found. */
const auto: WrittenRecipe = {
  channels: ['H', 'O'],
  matrix: [
    [0.76, 0.24],
    [0.5, 0.5],
    [0.24, 0.76],
  ],
  finish: { chroma: 'auto' },
};
const mixed = (inputs: Inputs, recipe: WrittenRecipe, output: string) =>
  mixFiles({ recipe, inputs, output: at(output), threads: 1 });

it('finds the gain on chroma in filled masters, and draws the cells of a batch from them', async () => {
  const asked = await mixed(hot, { ...auto, spots: 'fill' }, 'asked.tif');
  const clear = await mixed(clean, auto, 'clean.tif');
  const unfilled = await mixed(hot, auto, 'unfilled.tif');
  expect(asked.settled.finish).toEqual(clear.settled.finish);
  expect(asked.settled.finish).not.toEqual(unfilled.settled.finish);

  const cell = async (inputs: Inputs, recipe: WrittenRecipe, output: string) => {
    const picture = { target: 't', recipe: 'r', output: at(output), inputs, written: recipe };
    const signal = new AbortController().signal;
    const [found] = await drawCells({ kind: 'cells', pictures: [picture as never], size: 200 }, signal);
    return found!.picture;
  };
  const wanted = await cell(clean, auto, 'clean.tif');
  expect(wanted.width).toBe(200);
  expect(await cell(hot, { ...auto, spots: 'fill' }, 'asked.tif')).toEqual(wanted);
  expect(await cell(hot, auto, 'unfilled.tif')).not.toEqual(wanted);
});
