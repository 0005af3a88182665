import type { RecipeFault } from './fault.ts';
import { shown } from './fields.ts';
import { RECIPE_VERSION } from './limits.ts';

/** Turns a recipe of one version into one of the next. Gets whatever was read, so it must trust nothing in it. */
export type Migration = (recipe: Readonly<Record<string, unknown>>) => Record<string, unknown>;

/** Version 2 took another gamut method where none is named, and finds the order of a background surface that states none. */
const toVersion2: Migration = (recipe) => ({
  ...recipe,
  gamut: recipe.gamut ?? 'chroma',
  ...(isFittedSurface(recipe.background) && { background: { order: 2, ...recipe.background } }),
});

const isFittedSurface = (background: unknown): background is object =>
  typeof background === 'object' &&
  background !== null &&
  'model' in background &&
  background.model === 'surface' &&
  !('coefficients' in background);

/** By the version that each step starts from. */
export const MIGRATIONS: ReadonlyMap<number, Migration> = new Map([[1, toVersion2]]);

/** A recipe that does not state its version, from a place that does: it means what it meant there. */
export const ofVersion = (recipe: unknown, version: unknown): unknown => {
  if (typeof recipe !== 'object' || recipe === null || Array.isArray(recipe)) return recipe;
  return versionOf(recipe) === undefined && version !== RECIPE_VERSION ? { ...recipe, linewash: version } : recipe;
};

/** Brings a recipe to this version, step by step; one without a version is taken as of this version. */
export const migrate = (value: object, steps: ReadonlyMap<number, Migration>, target = RECIPE_VERSION): object => {
  let recipe = value as Record<string, unknown>;
  for (let version = versionOf(recipe); typeof version === 'number' && version < target; version++)
    recipe = { ...steps.get(version)!(recipe), linewash: version + 1 };
  return recipe;
};

const versionOf = (value: object): unknown => (value as { linewash?: unknown }).linewash;

/** What keeps a value from being a recipe of a version that can be read. */
export const versionFault = (
  value: unknown,
  steps: ReadonlyMap<number, Migration> = MIGRATIONS,
  target: number = RECIPE_VERSION,
): RecipeFault | undefined => {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return { path: [], message: 'a recipe is a JSON object with at least a "matrix"' };
  const version = versionOf(value);
  if (version === undefined || version === target) return undefined;
  const path = ['linewash'];
  if (typeof version !== 'number' || !Number.isInteger(version))
    return { path, message: `found ${shown(version)}; the version is the number ${target}` };
  if (version > target)
    return {
      path,
      message: `this recipe is of version ${version}; this linewash reads version ${target}: update linewash`,
    };
  for (let step = target - 1; step >= version; step--)
    if (!steps.has(step)) return { path, message: `there is no version ${version}; the version is ${target}` };
  return undefined;
};
