import { type ExpressionResult, evaluateExpression } from '../../mix/expression.ts';
import { DEFAULT_CHANNELS } from '../../plane/name.ts';
import { checkMeaning } from './check.ts';
import { checkWeights } from './check-balance.ts';
import type { RecipeFault } from './fault.ts';
import { shown } from './fields.ts';
import { finishFaults, numberFinish } from './finish-wish.ts';
import { knobValues } from './knobs.ts';
import type { SolvedLines } from './line-colours.ts';
import { mend } from './mend.ts';
import { recipeSchema, type WrittenRecipe } from './schema.ts';
import { listFaults } from './shape.ts';
import { checkTokens, weightFault, weightOf, weightTexts } from './weights.ts';

type Path = readonly (string | number)[];
type Plain = Readonly<Record<string, unknown>>;

/** A recipe as far as it is in order, and all that can be said of it without computing anything. */
export interface Examined {
  /** What is at fault in it stands for something harmless; undefined where too much is wrong. */
  readonly recipe: WrittenRecipe | undefined;
  readonly faults: readonly RecipeFault[];
}

const isPlain = (value: unknown): value is Plain =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const startsWith = (path: Path, start: Path): boolean => start.every((key, i) => path[i] === key);

/** Without those that rest on a place which is at fault itself. */
const wellFounded = (faults: readonly RecipeFault[], faulty: readonly RecipeFault[]): RecipeFault[] =>
  faults.filter(
    ({ path, needs = [] }) =>
      !faulty.some(
        (fault) =>
          startsWith(path, fault.path) ||
          needs.some((need) => startsWith(need, fault.path) || startsWith(fault.path, need)),
      ),
  );

/** The channels as they stand in what was read, good names or not; undefined where that cannot be told. */
const namesIn = ({ channels, matrix, lines }: Plain): string[] | undefined => {
  if (Array.isArray(channels) && channels.length > 0)
    return channels.map((name) => (typeof name === 'string' ? name : shown(name)));
  if (channels !== undefined) return undefined;
  if (lines === undefined) return [...DEFAULT_CHANNELS];
  return isPlain(lines) ? Object.keys(lines) : matrix === undefined ? undefined : [...DEFAULT_CHANNELS];
};

/** The knobs as they stand in what was read; undefined where that cannot be told. */
const knobsIn = ({ knobs }: Plain): string[] | undefined =>
  knobs === undefined ? [] : isPlain(knobs) ? Object.keys(knobs) : undefined;

const WORD = /[A-Za-z_]\w*/g;

const tokensOf = (recipe: WrittenRecipe, plain: Plain): RecipeFault[] => {
  // Where the knobs cannot be read, whatever is named may be one.
  const any = weightTexts(recipe).flatMap(({ text }) => text.match(WORD) ?? []);
  return checkTokens(recipe, knobsIn(plain) ?? any);
};

/** Everything that is wrong with a recipe as read, but for what shows only when weights and colours are computed. */
export const examine = (plain: Plain): Examined => {
  const { value: recipe, faults } = mend(recipeSchema, plain);
  if (recipe === undefined) return { recipe, faults };
  const names = namesIn(plain);
  const lists = faults.length > 0 ? [] : listFaults(plain, recipe);
  const meaning = [...lists, ...checkMeaning(recipe, names), ...tokensOf(recipe, plain)];
  return { recipe, faults: [...faults, ...wellFounded(meaning, faults)] };
};

/** What is computed of a recipe's texts and colours. */
export interface Computed {
  readonly results: ReadonlyMap<string, ExpressionResult>;
  readonly colours?: SolvedLines | undefined;
}

/**
 * What is wrong with the numbers of an examined recipe.
 * @param computed without it only rows of plain numbers are looked at
 */
export const examineNumbers = (
  recipe: WrittenRecipe,
  faults: readonly RecipeFault[],
  computed?: Computed,
): RecipeFault[] => {
  const results = computed?.results ?? new Map<string, ExpressionResult>();
  const within = (path: Path) => faults.some((fault) => startsWith(fault.path, path) || startsWith(path, fault.path));
  const usesFaulty = (text: string) => within(['knobs']) && (text.match(WORD) ?? []).some((w) => within(['knobs', w]));
  const texts = weightTexts(recipe).filter(({ path }) => !within(path));
  const numbers = texts.flatMap(({ text, path, range }): RecipeFault[] => {
    const result = results.get(text);
    // Of what is made from a knob at fault only the form can be judged.
    const judged = result === undefined || !usesFaulty(text) || ('fault' in result && !result.fault.ofValue);
    const message = judged ? weightFault(text, result, range) : undefined;
    return message === undefined ? [] : [{ path, message }];
  });
  const { colours } = computed ?? {};
  const found = wellFounded([...numbers, ...(colours && 'faults' in colours ? colours.faults : [])], faults);
  const bad = [...faults, ...found];
  const unread = (path: Path) =>
    texts.some(({ text, path: at }) => startsWith(at, path) && (usesFaulty(text) || isUnread(text, results)));
  const isBad = (path: Path) =>
    unread(path) || bad.some((fault) => startsWith(fault.path, path) || startsWith(path, fault.path));
  const matrix =
    colours && 'matrix' in colours ? colours.matrix : recipe.matrix?.map((row) => row.map((w) => weightOf(w, results)));
  const finishing =
    recipe.finish && !isBad(['finish'])
      ? finishFaults(numberFinish(recipe.finish, (value) => weightOf(value, results)))
      : [];
  found.push(...finishing);
  if (matrix === undefined || isBad(['lines']) || isBad(['channels'])) return found;
  const { lines: _, knobs: __, smooth: ___, stars: ____, finish: _____, ...rest } = recipe;
  const { lightness } = rest;
  const row =
    Array.isArray(lightness) && !isBad(['lightness']) ? lightness.map((w) => weightOf(w, results)) : undefined;
  const channels = recipe.channels ?? (recipe.lines && Object.keys(recipe.lines));
  const unknown = new Set([0, 1, 2].filter((r) => isBad(['matrix', r])));
  const numeric = { ...rest, ...(channels && { channels }), matrix, lightness: row };
  const needs = unknown.size > 0 ? [...bad, { path: ['matrix'], message: '' }] : bad;
  const whole = checkWeights(numeric, unknown);
  return [...found, ...whole.filter((one) => wellFounded([one], one.path[0] === 'matrix' ? bad : needs).length > 0)];
};

/** Whether a weight was written as an expression that was not computed. */
const isUnread = (text: string, results: ReadonlyMap<string, ExpressionResult>): boolean =>
  Number.isNaN(Number(text)) && !results.has(text);

const knobsAt = ([, name]: Path, recipe: WrittenRecipe): string[] =>
  name === undefined ? weightTexts(recipe).flatMap(({ text }) => text.match(WORD) ?? []) : [String(name)];

/** Computes what `examineNumbers` judges: every expression once, and the colours of lines. */
export const compute = async (recipe: WrittenRecipe, faults: readonly RecipeFault[]): Promise<Computed> => {
  const scope = new Map(Object.entries(knobValues(recipe)));
  // Knobs at fault are names all the same: what is made of them is not judged.
  for (const { path } of faults)
    if (path[0] === 'knobs') for (const name of knobsAt(path, recipe)) scope.set(name, scope.get(name) ?? 0.5);
  const results = new Map<string, ExpressionResult>();
  for (const { text } of weightTexts(recipe))
    if (!results.has(text)) results.set(text, await evaluateExpression(text, scope));
  const colours = recipe.lines && (await (await import('./line-colours.ts')).solveLines(recipe));
  return { results, colours };
};
