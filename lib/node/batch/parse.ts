import * as v from 'valibot';
import { recipeError } from '../../plane/errors.ts';
import { nearest } from '../../plane/name.ts';
import { type JsonText, jsonPath, parseJson } from '../../recipe/written/json.ts';
import { checkBatch, type RecipeFault } from './check.ts';
import { type BatchPlan, batchSchema, LONGEST_PLAN } from './schema.ts';

/**
 * Reads a plan from JSON text.
 * @throws LinewashError 'recipe' listing every fault with JSON path, line and column.
 */
export const parseBatch = (text: string, file?: string): BatchPlan => {
  const json = parseJson(text, file, LONGEST_PLAN);
  return checkedBatch(json.value, file, json);
};

/**
 * Checks a plan that is in memory already.
 * @throws LinewashError 'recipe' listing every fault with its JSON path.
 */
export const checkedBatch = (value: unknown, file?: string, text?: JsonText): BatchPlan => {
  const result = v.safeParse(batchSchema, value);
  const found = result.success ? checkBatch(result.output) : result.issues.map(describe);
  if (result.success && found.length === 0) return result.output;
  throw recipeError(
    found.map(({ path, message }) => ({ path: jsonPath(path), message, ...text?.place(path) })),
    file,
  );
};

const describe = (issue: v.BaseIssue<unknown>): RecipeFault => {
  const path = (issue.path ?? []).map((item) => item.key as string | number);
  if (issue.type === 'strict_object' && issue.expected === 'never') {
    const known = keysAt(path);
    const near = nearest(String(path[path.length - 1]), known);
    return { path, message: `unknown key${near ? ` (did you mean ${near}?)` : ''}; keys: ${known.join(', ')}` };
  }
  if (issue.type === 'strict_object' && issue.received === 'undefined') return { path, message: 'this key is missing' };
  if (issue.type === 'strict_object') return { path, message: `expected an object, not ${issue.received}` };
  return { path, message: issue.message };
};

/** The keys that the object around a path may have. */
const keysAt = (path: readonly (string | number)[]): string[] => {
  const { entries } = batchSchema;
  const target = entries.targets.pipe[0].pipe[0].item.entries;
  const form = entries.defaults.pipe[0].wrapped.entries;
  const parent = path.slice(0, -1).findLast((step) => typeof step === 'string');
  if (parent === undefined) return Object.keys(entries);
  if (parent === 'targets') return Object.keys(target);
  if (parent === 'recipes') return ['recipe', 'name', 'knobs'];
  if (parent === 'sheet') return ['file', 'size'];
  return parent === 'outputs' ? ['file', ...Object.keys(form)] : Object.keys(form);
};
