import * as v from 'valibot';
import { recipeError } from '../plane/errors.ts';
import { nearest } from '../plane/name.ts';
import { checkMeaning } from './check.ts';
import type { Finding } from './finding.ts';
import { type JsonText, parseJson } from './json.ts';
import { MIGRATIONS, migrate, ofVersion, versionFault } from './migrate.ts';
import { placed, plainAtOnce, plainRecipe } from './plain.ts';
import { RECIPE_VERSION, recipeSchema, type WrittenRecipe } from './schema.ts';
import { keysAt, listFaults } from './shape.ts';
import { checkTokens } from './weights.ts';

type Path = (string | number)[];

/**
 * Reads a recipe from JSON text. Expressions are checked for what they are made of; whether they can be computed, and
 * whether colours are colours, shows when `plainRecipe` makes numbers of them, or at once with `loadRecipe`.
 * Keys that start with `x-` are kept and otherwise ignored; every other unknown key is a fault.
 * @throws LinewashError 'recipe' listing every fault with JSON path, line and column.
 */
export const parseRecipe = (text: string, file?: string): WrittenRecipe => {
  const json = parseJson(text, file);
  return checkedRecipe(json.value, file, json);
};

/**
 * The same, with expressions evaluated and colours read too, so that their faults come with line and column.
 * @param version what a recipe is of that does not state its version
 */
export const loadRecipe = async (text: string, file?: string, version = RECIPE_VERSION): Promise<WrittenRecipe> => {
  const json = parseJson(text, file);
  const recipe = checkedRecipe(ofVersion(json.value, version), file, json);
  await plainRecipe(recipe, {}, file, json);
  return recipe;
};

/**
 * Checks a value that is a recipe already in memory.
 * @throws LinewashError 'recipe' listing every fault with its JSON path.
 */
export const checkedRecipe = (value: unknown, file?: string, text?: JsonText): WrittenRecipe => {
  const { recipe, faults } = check(value);
  if (recipe === undefined) throw recipeError(placed(faults, text), file);
  plainAtOnce(recipe, file, text);
  return recipe;
};

const check = (value: unknown): { recipe?: WrittenRecipe; faults: Finding[] } => {
  const version = versionFault(value);
  if (version !== undefined) return { faults: [version] };
  const { plain, extras } = setAside(migrate(value as object, MIGRATIONS));
  const result = v.safeParse(recipeSchema, plain);
  if (!result.success) return { faults: firstAtEachPath(result.issues.map(describe)) };
  const faults = [...listFaults(plain, result.output), ...checkMeaning(result.output), ...checkTokens(result.output)];
  return faults.length > 0 ? { faults } : { recipe: { ...result.output, ...extras }, faults };
};

/** A number out of all bounds breaks several rules; the first says it. */
const firstAtEachPath = (findings: readonly Finding[]): Finding[] =>
  [...new Map(findings.toReversed().map((finding) => [finding.path.join('\n'), finding])).values()].toReversed();

/** Separates the `x-` keys of the top level, which others may use for data of their own. */
const setAside = (value: unknown) => {
  // Without a prototype, so that a key named __proto__ is a key like any other, and unknown.
  const plain: Record<string, unknown> = Object.create(null);
  const extras: Record<string, unknown> = {};
  for (const [key, entry] of Object.entries(value as object)) (key.startsWith('x-') ? extras : plain)[key] = entry;
  return { plain, extras };
};

const describe = (issue: v.BaseIssue<unknown>): { path: Path; message: string } => {
  const path = (issue.path ?? []).map((item) => item.key as string | number);
  if (issue.type === 'strict_object' && issue.expected === 'never') {
    const key = String(path[path.length - 1]);
    const known = keysAt(recipeSchema, path.slice(0, -1));
    const near = nearest(key, known);
    if (near !== undefined) return { path, message: `unknown key (did you mean ${near}?)` };
    const advice = path.length === 1 ? 'keys of your own start with "x-"' : `keys here: ${known.join(', ')}`;
    return { path, message: `unknown key; ${advice}` };
  }
  if (issue.type === 'strict_object' && issue.received === 'undefined') return { path, message: 'this key is missing' };
  return { path, message: issue.message };
};
