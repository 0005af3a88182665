import { readdirSync, readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { closeMasters, type Master, openMasters } from '../../lib/node/masters/masters.ts';
import { settleMasters } from '../../lib/node/masters/settle-masters.ts';
import { CATALOGUE, catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { shrink } from '../../lib/plane/shrink.ts';
import { usedChannels } from '../../lib/recipe/settle/settle.ts';
import { recipeHash } from '../../lib/recipe/written/hash.ts';
import { RECIPE_VERSION } from '../../lib/recipe/written/limits.ts';
import { loadRecipe } from '../../lib/recipe/written/parse.ts';
import { plainRecipe } from '../../lib/recipe/written/plain.ts';
import { pictureInMemory, renderPicture } from '../../lib/render/picture.ts';
import { SAMPLES } from '../cli/capture.ts';

describe('the catalogue', () => {
  it('has every recipe file, and at least sixteen', () => {
    const files = readdirSync('lib/palettes').filter((name) => name.endsWith('.json'));
    expect(CATALOGUE.map(({ id }) => `${id}.json`).sort()).toEqual(files.sort());
    expect(files.length).toBeGreaterThanOrEqual(16);
    expect(CATALOGUE.filter(({ recipe }) => recipe.knobs !== undefined).length).toBeGreaterThanOrEqual(4);
    expect(CATALOGUE.filter(({ recipe }) => recipe.lines !== undefined).length).toBeGreaterThanOrEqual(4);
  });

  it.each(CATALOGUE.map(({ id }) => id))('%s is in order, says when to use it, and is free to use', async (id) => {
    const text = readFileSync(`lib/palettes/${id}.json`, 'utf8');
    const recipe = await loadRecipe(text, id);
    expect(catalogueRecipe(id)).toEqual(recipe);
    expect(id).toMatch(/^[a-z][a-z-]*$/);
    expect(recipe.linewash).toBe(RECIPE_VERSION);
    expect(recipe.name!.length).toBeGreaterThan(2);
    expect(recipe.about!.length).toBeGreaterThan(60);
    expect(recipe.licence).toBe('CC0-1.0');
    for (const knob of Object.values(recipe.knobs ?? {})) expect(knob.about).toBeTruthy();
  });

  it('has no two recipes that make the same picture, or are called the same', async () => {
    const hashes = await Promise.all(CATALOGUE.map(({ recipe }) => recipeHash(recipe)));
    expect(new Set(hashes).size).toBe(CATALOGUE.length);
    expect(new Set(CATALOGUE.map(({ recipe }) => recipe.name)).size).toBe(CATALOGUE.length);
  });

  it.each(CATALOGUE.filter(({ recipe }) => recipe.knobs).map(({ id, recipe }) => [id, recipe] as const))(
    '%s works at both ends of every knob',
    async (_, recipe) => {
      for (const [name, { min = 0, max = 1 }] of Object.entries(recipe.knobs!))
        for (const value of [min, max]) await plainRecipe(recipe, { [name]: value });
    },
  );

  it('stands in the gallery as it is now: npm run docs', async () => {
    const gallery = readFileSync('docs/gallery.md', 'utf8');
    for (const { id, recipe } of CATALOGUE) {
      expect(gallery).toContain(`## ${recipe.name}\n\n\`${id}\` · ${await recipeHash(recipe)}\n`);
      expect(gallery).toContain(recipe.about);
      expect(readFileSync(`docs/gallery/${id}.jpg`).subarray(0, 3)).toEqual(Buffer.of(0xff, 0xd8, 0xff));
    }
  });

  it('finds recipes whatever the case, and none of other names', () => {
    expect(catalogueRecipe('HOO')?.name).toBe('HOO');
    expect(catalogueRecipe('nothing')).toBeUndefined();
    expect(catalogueRecipe('toString')).toBeUndefined();
  });
});

describe('on the sample masters', () => {
  let masters: Master[];
  beforeAll(async () => {
    // N stands for a fourth filter, which the sample does not have.
    masters = await openMasters({ ...SAMPLES, N: SAMPLES.H });
  });
  afterAll(() => closeMasters(masters));

  it.each(CATALOGUE.map(({ id, recipe }) => [id, recipe] as const))('%s makes a picture', async (_, written) => {
    const recipe = await plainRecipe(written);
    const used = usedChannels(recipe);
    const channels = masters.filter(({ name }) => used.includes(name));
    expect(channels).toHaveLength(used.length);
    const { settled } = await settleMasters(recipe, channels);
    const small = await Promise.all(
      channels.map(async ({ name, source }) => ({ name, source: planeSource(source.file, await shrink(source, 240)) })),
    );
    const { width, height } = small[0]!.source;
    const form = { width, height, sample: 'u8', bands: 3 } as const;
    const { writer, picture } = pictureInMemory(form);
    await renderPicture(small, settled, form, writer);
    const { dark, middle, bright, coloured } = tally(picture.data as Uint8Array);
    // A sky that is dark and not cut off, a nebula that stands out, no large burnt area.
    expect(dark).toBeLessThan(0.97);
    expect(middle).toBeGreaterThan(8);
    expect(middle).toBeLessThan(90);
    expect(bright).toBeGreaterThan(0.0005);
    expect(bright).toBeLessThan(0.2);
    if (written.name !== 'Pewter') expect(coloured).toBeGreaterThan(0.05);
  });
});

/** Shares of nearly black, bright and coloured pixels, and the median of the largest value. */
const tally = (pixels: Uint8Array) => {
  const count = pixels.length / 3;
  const largest = new Uint8Array(count);
  let coloured = 0;
  for (let i = 0; i < count; i++) {
    const [r, g, b] = [pixels[3 * i]!, pixels[3 * i + 1]!, pixels[3 * i + 2]!];
    largest[i] = Math.max(r, g, b);
    if (largest[i]! - Math.min(r, g, b) > 30) coloured++;
  }
  largest.sort();
  return {
    dark: largest.filter((v) => v < 3).length / count,
    middle: largest[count >> 1]!,
    bright: largest.filter((v) => v > 180).length / count,
    coloured: coloured / count,
  };
};
