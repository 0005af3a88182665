import { openAsBlob } from 'node:fs';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { catalogueRecipe } from '../../lib/index.ts';
import { checkFiles, mixFiles } from '../../lib/node/index.ts';
import { recipeFrom } from '../../lib/node/masters/recipe-source.ts';
import { settledRecipe } from '../../lib/recipe/settle/settled-recipe.ts';
import { canonicalForm } from '../../lib/recipe/written/canonical.ts';
import { plainRecipe } from '../../lib/recipe/written/plain.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import { linewash } from '../cli/capture.ts';

const recipe: WrittenRecipe = { ...catalogueRecipe('hoo'), spots: 'fill' };
const context = (): CallContext => ({ signal: new AbortController().signal, progress: () => {} });
let folder: string;
let inputs: Record<'H' | 'O', string>;
const at = (name: string) => join(folder, name);
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'linewash-spots-'));
  await linewash(['samples', folder, '--target', 'palehoop', '--size', '400', '--quiet']);
  inputs = { H: at('palehoop-H.fits'), O: at('palehoop-O.fits') };
});
afterAll(() => rm(folder, { recursive: true }));

it('fills what check lists, states the places, and makes the same picture of them again', async () => {
  const { defects } = await checkFiles({ inputs });
  const listed = defects.filter(({ kind }) => kind === 'spots');
  expect(listed.map(({ channel }) => channel)).toEqual(['O']);
  const plain = await mixFiles({ recipe: catalogueRecipe('hoo'), inputs, output: at('plain.tif') });
  const { settled } = await mixFiles({ recipe, inputs, output: at('filled.tif') });
  expect(settled.channels.map(({ spots }) => spots?.at)).toEqual([undefined, listed[0]!.places]);
  expect(plain.settled.channels.every(({ spots }) => spots === undefined)).toBe(true);
  const bytes = await readFile(at('filled.tif'));
  expect(bytes.equals(await readFile(at('plain.tif')))).toBe(false);

  // On one thread, as the recipe that the settled numbers are, and as the note of the picture holds them.
  await mixFiles({ recipe, inputs, output: at('one.tif'), threads: 1 });
  expect(bytes.equals(await readFile(at('one.tif')))).toBe(true);
  const stated = settledRecipe(settled, await plainRecipe(recipe));
  expect(Object.keys(stated.spots as object)).toEqual(['O']);
  const again = await mixFiles({ recipe: stated as WrittenRecipe, inputs, output: at('again.tif') });
  // Nothing of theirs was found any more, so that no limit decided.
  const numbers = settled.channels.map(({ limits: _, ...channel }) => channel);
  expect(again.settled.channels).toEqual(numbers);
  const pixels = (file: Buffer) => file.subarray(file.length - 6 * 400 * 200);
  expect(pixels(await readFile(at('again.tif'))).equals(pixels(bytes))).toBe(true);
  // The note of a picture is a recipe, too.
  await mixFiles({ recipe: await recipeFrom(at('filled.tif')), inputs, output: at('note.tif') });
  expect(pixels(await readFile(at('note.tif'))).equals(pixels(bytes))).toBe(true);
});

it('looks on the page as it is saved there, and is the same bytes', async () => {
  const service = createService();
  for (const line of ['H', 'O'] as const)
    await service.open({ id: line, name: `palehoop-${line}.fits`, from: await openAsBlob(inputs[line]) });
  const lines = { H: 'H', O: 'O' };
  const { settled } = await mixFiles({ recipe, inputs, output: at('cli.tif') });
  const blob = await service.export({ lines, recipe, file: 'cli.tif', sample: 'u16' }, context());
  expect(Buffer.from(await blob!.arrayBuffer()).equals(await readFile(at('cli.tif')))).toBe(true);

  const [x, y] = settled.channels[1]!.spots!.at[0]!;
  const whole = await service.preview({ lines, recipe, longest: 5000 }, context());
  const box = { x: Math.max(0, x - 4), y: Math.max(0, y - 4), width: 9, height: 9 };
  const part = await service.preview({ lines, recipe, box }, context());
  const row = 4 * ((y - box.y) * 9);
  const from = 4 * (y * whole.width + box.x);
  expect(part.data.subarray(row, row + 36)).toEqual(whole.data.subarray(from, from + 36));
  const stated = { ...recipe, spots: { O: settled.channels[1]!.spots!.at.map(([a, b]): [number, number] => [a, b]) } };
  const { spots: _, ...without } = recipe;
  const small = await Promise.all(
    [recipe, stated, without].map((of) => service.preview({ lines, recipe: of, longest: 100 }, context())),
  );
  expect(small[0]!.data).toEqual(small[1]!.data);
  expect(small[0]!.data).not.toEqual(small[2]!.data);
  const probed = await service.probe({ lines, recipe, x, y }, context());
  const display = probed.colour!.rgb.map((value) => Math.round(255 * value));
  expect([...whole.data.subarray(4 * (y * whole.width + x), 4 * (y * whole.width + x) + 3)]).toEqual(display);
});

it('says what is wrong where spots cannot be told or do not lie in the frame', async () => {
  const mixed = async (spots: unknown, more: object = {}, files: Record<string, string> = inputs) => {
    await writeFile(at('r.json'), JSON.stringify({ ...catalogueRecipe('hoo'), ...more, spots }));
    const words = Object.entries(files).map(([line, file]) => `${line}=${file}`);
    const { code, err } = await linewash(['mix', at('r.json'), ...words, '-o', at('x.tif'), '--quiet', '--no-cache']);
    return `${code} ${err}`;
  };
  const grey = { channels: ['O'], matrix: [[1], [1], [1]] };
  expect(await mixed('fill', grey, { O: inputs.O })).toMatch(
    /^[1-9].*told from stars by another line, and this recipe uses one/s,
  );
  expect(await mixed({ O: [[5, 4000]] })).toMatch(/^[1-9].*the spot 5,4000 of O lies outside the frame of 400 ×/s);
  expect(await mixed({ X: [[5, 4]] })).toMatch(/^[1-9].*there is no channel X/s);
  expect(await mixed({ O: [[5.5, 4]] })).toMatch(/^[1-9].*expected a whole number/s);
  expect(await mixed('all')).toMatch(/^[1-9].*expected "fill" or places by channel/s);
});

it('means the same whatever the order of the places', async () => {
  const form = async (spots: WrittenRecipe['spots']) => (await canonicalForm({ ...recipe, spots })).spots;
  expect(await form('fill')).toBe('fill');
  expect(
    await form({
      O: [
        [9, 4],
        [3, 4],
        [8, 1],
      ],
      H: [],
    }),
  ).toEqual({
    O: [
      [8, 1],
      [3, 4],
      [9, 4],
    ],
  });
  expect(await form({ H: [] })).toBeUndefined();
});
