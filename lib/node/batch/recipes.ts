import { stat } from 'node:fs/promises';
import { basename, resolve } from 'node:path';
import { inputError } from '../../plane/errors.ts';
import { isLink } from '../../recipe/share/link.ts';
import { channelsOf } from '../../recipe/written/facts-of.ts';
import { type KnobValues, withKnobs } from '../../recipe/written/knobs.ts';
import { checkedRecipe } from '../../recipe/written/parse.ts';
import { plainRecipe } from '../../recipe/written/plain.ts';
import type { WrittenRecipe } from '../../recipe/written/schema.ts';
import { recipeFrom } from '../masters/recipe-source.ts';
import type { BatchPlan, RecipeEntry } from './schema.ts';

/** A recipe of a plan, read. */
export interface BatchRecipe {
  /** What `{recipe}` stands for. */
  readonly name: string;
  readonly recipe: WrittenRecipe;
  /** The entry with its file's full path, from which any process reads the same recipe. */
  readonly entry: RecipeEntry;
}

/**
 * Reads the recipes of a list.
 * @param folder what files are relative to
 * @throws LinewashError as `recipeFrom` and `withKnobs` do
 */
export const readRecipes = async (
  entries: NonNullable<BatchPlan['recipes']>,
  folder: string,
): Promise<BatchRecipe[]> => {
  const recipes: BatchRecipe[] = [];
  for (const [i, written] of entries.entries())
    recipes.push(await readRecipe(typeof written === 'string' ? { recipe: written } : written, folder, i));
  return recipes;
};

const readRecipe = async (entry: RecipeEntry, folder: string, index: number): Promise<BatchRecipe> => {
  const { recipe: wish, knobs = {} } = entry;
  const word = typeof wish === 'string' ? await wordFor(wish, folder) : wish;
  const written = typeof word === 'string' ? await recipeFrom(word) : checkedRecipe(word);
  const recipe = withKnobs(written, knobs);
  await plainRecipe(recipe);
  const name = entry.name ?? nameFor(wish, recipe, index);
  return { name, recipe, entry: { recipe: word, name, ...(entry.knobs && { knobs }) } };
};

/** A file relative to the plan where there is one; any other word, a link or catalogue name, stands for itself. */
const wordFor = async (wish: string, folder: string): Promise<string> => {
  const path = resolve(folder, wish);
  const facts = wish.length > 4096 ? undefined : await stat(path).catch(() => undefined);
  return facts?.isFile() ? path : wish;
};

const nameFor = (wish: RecipeEntry['recipe'], recipe: WrittenRecipe, index: number): string => {
  if (typeof wish !== 'string' || isLink(wish)) return recipe.name ?? `recipe ${index + 1}`;
  return basename(wish).replace(/\.[A-Za-z]{2,5}$/, '');
};

/** The lines that any of the recipes knows. */
export const channelsOfAll = (recipes: readonly BatchRecipe[]): string[] => [
  ...new Set(recipes.flatMap(({ recipe }) => channelsOf(recipe))),
];

const knobsAdvice = (recipes: readonly BatchRecipe[]): string => {
  const knobs = new Set(recipes.flatMap(({ recipe }) => Object.keys(recipe.knobs ?? {})));
  return knobs.size === 0 ? 'they have no knobs' : `their knobs: ${[...knobs].join(', ')}`;
};

/**
 * Sets knobs on every recipe that has them.
 * @throws LinewashError 'input' where none has one of them, or a value does not suit.
 */
export const withTargetKnobs = (recipes: readonly BatchRecipe[], values: KnobValues = {}): BatchRecipe[] => {
  const has = ({ recipe }: BatchRecipe, knob: string) => Object.hasOwn(recipe.knobs ?? {}, knob);
  for (const knob of Object.keys(values))
    if (!recipes.some((recipe) => has(recipe, knob)))
      throw inputError(`none of the recipes has the knob ${knob}`, knobsAdvice(recipes));
  return recipes.map((recipe) => {
    const own = Object.fromEntries(Object.entries(values).filter(([knob]) => has(recipe, knob)));
    if (Object.keys(own).length === 0) return recipe;
    const entry = { ...recipe.entry, knobs: { ...recipe.entry.knobs, ...own } };
    return { ...recipe, recipe: withKnobs(recipe.recipe, own), entry };
  });
};
