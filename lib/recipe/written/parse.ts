import { type Fault, recipeError } from '../../plane/errors.ts';
import { compute, examine, examineNumbers } from './examine.ts';
import type { RecipeFault } from './fault.ts';
import { type JsonText, readJson } from './json.ts';
import { MIGRATIONS, migrate, ofVersion, versionFault } from './migrate.ts';
import { placed } from './plain.ts';
import { RECIPE_VERSION, type WrittenRecipe } from './schema.ts';

/** More faults than this are counted, not listed. */
const MOST_FAULTS = 500;

/**
 * Reads a recipe from JSON text. Expressions are checked for what they are made of; whether they can be computed, and
 * whether colours are colours, shows when `plainRecipe` makes numbers of them, or at once with `loadRecipe`.
 * Keys that start with `x-` are kept and otherwise ignored, `$schema` is dropped; every other unknown key is a fault.
 * @throws LinewashError 'recipe' listing every fault with JSON path, line and column.
 */
export const parseRecipe = (text: string, file?: string): WrittenRecipe => {
  const json = readJson(text, file);
  const { recipe, extras, faults } = check(json.value);
  const all = recipe === undefined ? faults : [...faults, ...examineNumbers(recipe, faults)];
  return orThrow(recipe, extras, faultsOf(all, json), file);
};

/**
 * The same, with expressions evaluated and colours read too, so that their faults come with line and column.
 * @param version what a recipe is of that does not state its version
 */
export const loadRecipe = async (text: string, file?: string, version = RECIPE_VERSION): Promise<WrittenRecipe> => {
  const json = readJson(text, file);
  const { recipe, extras, faults } = check(ofVersion(json.value, version));
  const all =
    recipe === undefined ? faults : [...faults, ...examineNumbers(recipe, faults, await compute(recipe, faults))];
  return orThrow(recipe, extras, faultsOf(all, json), file);
};

/**
 * Checks a value that is a recipe already in memory.
 * @throws LinewashError 'recipe' listing every fault with its JSON path.
 */
export const checkedRecipe = (value: unknown, file?: string, text?: JsonText): WrittenRecipe => {
  const { recipe, extras, faults } = check(value);
  const all = recipe === undefined ? faults : [...faults, ...examineNumbers(recipe, faults)];
  return orThrow(recipe, extras, listed(placed(all.slice(0, MOST_FAULTS), text), all.length), file);
};

const orThrow = (recipe: WrittenRecipe | undefined, extras: object, faults: readonly Fault[], file?: string) => {
  if (recipe === undefined || faults.length > 0) throw recipeError(faults, file);
  return { ...recipe, ...extras };
};

/** Faults of keys and of what they hold, in the order of the text. */
const faultsOf = (faults: readonly RecipeFault[], json: ReturnType<typeof readJson>): Fault[] => {
  const { keyFaults } = json;
  const known = new Set(keyFaults.map(({ path }) => path));
  const others = placed(faults.slice(0, MOST_FAULTS), json).filter(
    // A key that is not allowed is unknown, too.
    ({ path, message }) => !(known.has(path) && message.startsWith('unknown key')),
  );
  const all = [...keyFaults.slice(0, MOST_FAULTS), ...others];
  all.sort((a, b) => a.line! - b.line! || a.column! - b.column!);
  return listed(all.slice(0, MOST_FAULTS), Math.max(all.length, faults.length, keyFaults.length));
};

const listed = (faults: readonly Fault[], count: number): Fault[] =>
  count <= MOST_FAULTS
    ? [...faults]
    : [...faults, { path: '$', message: `more faults were found than the ${MOST_FAULTS} that are listed` }];

interface Checked {
  /** With something harmless in the place of what is at fault; undefined where nothing can be said of it. */
  readonly recipe?: WrittenRecipe | undefined;
  /** The keys that start with `x-`. */
  readonly extras: object;
  readonly faults: readonly RecipeFault[];
}

const check = (value: unknown): Checked => {
  const version = versionFault(value);
  // Of another version nothing else can be said.
  if (version !== undefined) return { faults: [version], extras: {} };
  const { plain, extras } = setAside(migrate(value as object, MIGRATIONS));
  return { ...examine(plain), extras };
};

/**
 * Separates the `x-` keys of the top level, which others may use for data of their own. The schema that an editor checks the
 * text by is a matter of the text: it is no part of the recipe.
 */
const setAside = (value: unknown) => {
  // Without a prototype, so that a key named __proto__ is a key like any other, and unknown.
  const plain: Record<string, unknown> = Object.create(null);
  const extras: Record<string, unknown> = {};
  for (const [key, entry] of Object.entries(value as object)) {
    if (key === '$schema' && typeof entry === 'string') continue;
    (key.startsWith('x-') ? extras : plain)[key] = entry;
  }
  return { plain, extras };
};
