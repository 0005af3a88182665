import * as v from 'valibot';
import { type Fault, recipeError } from '../plane/errors.ts';
import { nearest } from '../plane/name.ts';
import { checkMeaning } from './check.ts';
import { type JsonText, jsonPath, parseJson } from './json.ts';
import { RECIPE_VERSION, type Recipe, recipeSchema } from './schema.ts';

type Path = (string | number)[];

/**
 * Reads a recipe from JSON text.
 * Keys that start with `x-` are kept and otherwise ignored; every other unknown key is a fault.
 * @throws LinewashError 'recipe' listing every fault with JSON path, line and column.
 */
export const parseRecipe = (text: string, file?: string): Recipe => {
  const json = parseJson(text, file);
  return checkedRecipe(json.value, file, json);
};

/**
 * Checks a value that is a recipe already in memory.
 * @throws LinewashError 'recipe' listing every fault with its JSON path.
 */
export const checkedRecipe = (value: unknown, file?: string, text?: JsonText): Recipe => {
  const faults: { path: Path; message: string }[] = [];
  const version = versionFault(value);
  if (version !== undefined) faults.push(version);
  else {
    const { plain, extras } = setAside(value);
    const result = v.safeParse(recipeSchema, plain);
    if (!result.success) faults.push(...result.issues.map(describe));
    else {
      faults.push(...checkMeaning(result.output));
      if (faults.length === 0) return { ...result.output, ...extras } as Recipe;
    }
  }
  throw recipeError(
    faults.map(({ path, message }) => placed(path, message, text)),
    file,
  );
};

const placed = (path: Path, message: string, text: JsonText | undefined): Fault => ({
  path: jsonPath(path),
  message,
  ...text?.place(path),
});

const versionFault = (value: unknown) => {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return { path: [], message: 'a recipe is a JSON object with at least a "matrix"' };
  const version = (value as { linewash?: unknown }).linewash;
  if (version === undefined || version === RECIPE_VERSION) return undefined;
  const newer = typeof version === 'number' && version > RECIPE_VERSION;
  const message = newer
    ? `this recipe is of version ${version}; this linewash reads version ${RECIPE_VERSION}: update linewash`
    : `found ${JSON.stringify(version)}; the version is the number ${RECIPE_VERSION}`;
  return { path: ['linewash'], message };
};

/** Separates the `x-` keys of the top level, which others may use for data of their own. */
const setAside = (value: unknown) => {
  const plain: Record<string, unknown> = {};
  const extras: Record<string, unknown> = {};
  for (const [key, entry] of Object.entries(value as object)) (key.startsWith('x-') ? extras : plain)[key] = entry;
  return { plain, extras };
};

const describe = (issue: v.BaseIssue<unknown>): { path: Path; message: string } => {
  const path = (issue.path ?? []).map((item) => item.key as string | number);
  if (issue.type === 'strict_object' && issue.expected === 'never') {
    const key = String(path[path.length - 1]);
    const known = Object.keys((issue as unknown as { requirement?: object }).requirement ?? recipeSchema.entries);
    const near = nearest(key, known);
    return { path, message: `unknown key${near ? ` (did you mean ${near}?)` : ''}; keys of your own start with "x-"` };
  }
  if (issue.type === 'strict_object' && issue.received === 'undefined') return { path, message: 'this key is missing' };
  return { path, message: issue.message };
};
