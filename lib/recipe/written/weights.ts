import type { ExpressionResult } from '../../mix/expression.ts';
import { plainNumber, tokenFault } from '../../mix/expression-tokens.ts';
import type { Triple } from '../../plane/linear.ts';
import { checkWeights } from './check-balance.ts';
import type { RecipeFault } from './fault.ts';
import { finishFaults, finishSlots, numberFinish } from './finish-wish.ts';
import { WEIGHT_RANGE } from './limits.ts';
import type { SolvedLines } from './line-colours.ts';
import type { PlainStars, Recipe, SmoothWish, StarsWish, WrittenRecipe, WrittenSmooth } from './schema.ts';

type Path = (string | number)[];
type WrittenWeight = number | string;

/** A number that is written as a text. */
interface WeightText {
  readonly text: string;
  readonly path: Path;
  /** The least and the largest that it may give. */
  readonly range: readonly [number, number];
}

const STRENGTH_RANGE = [0, 1] as const;

/** Every weight of a recipe that is written as a text, the strength of the smoothing and numbers of the finish, with their paths. */
export const weightTexts = ({ matrix = [], lightness, smooth, finish }: WrittenRecipe): WeightText[] => {
  const rows = [...matrix.map((weights, r) => ({ weights, path: ['matrix', r] as Path }))];
  if (Array.isArray(lightness)) rows.push({ weights: lightness, path: ['lightness'] });
  const texts = rows.flatMap(({ weights, path }) =>
    weights.flatMap((weight, c) =>
      typeof weight === 'string' ? [{ text: weight, path: [...path, c], range: WEIGHT_RANGE }] : [],
    ),
  );
  const slots = [
    ...(smooth?.strength === undefined
      ? []
      : [{ value: smooth.strength, path: ['smooth', 'strength'], range: STRENGTH_RANGE }]),
    ...finishSlots(finish ?? {}),
  ];
  return [
    ...texts,
    ...slots.flatMap(({ value, path, range }) => (typeof value === 'string' ? [{ text: value, path, range }] : [])),
  ];
};

/** What can be said of a recipe's expressions without evaluating them; `knobs` are the names that they may use. */
export const checkTokens = (recipe: WrittenRecipe, knobs = Object.keys(recipe.knobs ?? {})): RecipeFault[] => {
  return weightTexts(recipe).flatMap(({ text, path }) => {
    const fault = plainNumber(text) === undefined ? tokenFault(text, knobs) : undefined;
    return fault === undefined ? [] : [{ path, message: described(text, fault) }];
  });
};

/**
 * Puts numbers in the place of a recipe's texts and colours.
 * @param results what each text evaluates to; texts that are plain numbers need no entry
 * @param colours the weights that the recipe's line colours give, where it has some
 * @param tint the colour of its stars, where it is written as a text
 */
export const numberWeights = (
  written: WrittenRecipe,
  results: ReadonlyMap<string, ExpressionResult>,
  colours?: SolvedLines,
  tint?: Triple,
): { recipe: Recipe } | { faults: RecipeFault[] } => {
  const { knobs: _, lines, matrix, lightness, smooth, stars, finish, ...rest } = written;
  const faults: RecipeFault[] = weightTexts(written).flatMap(({ text, path, range }) => {
    const message = weightFault(text, results.get(text), range);
    return message === undefined ? [] : [{ path, message }];
  });
  const row = (weights: readonly WrittenWeight[]) => weights.map((weight) => weightOf(weight, results));
  const solved = colours ?? { matrix: (matrix ?? []).map(row) };
  if ('faults' in solved) return { faults: solved.faults };
  if (faults.length > 0) return { faults };
  const channels = written.channels ?? (lines && Object.keys(lines));
  const recipe: Recipe = {
    ...rest,
    ...(channels && { channels }),
    ...(lightness !== undefined && { lightness: Array.isArray(lightness) ? row(lightness) : lightness }),
    ...(smooth && { smooth: numberSmooth(smooth, results) }),
    ...(stars && { stars: plainStars(stars, tint) }),
    ...(finish && { finish: numberFinish(finish, (value) => weightOf(value, results)) }),
    matrix: solved.matrix,
  };
  const unfit = [...checkWeights(recipe), ...finishFaults(recipe.finish ?? {})];
  return unfit.length > 0 ? { faults: unfit } : { recipe };
};

/** Stars with their tint as numbers. */
export const plainStars = ({ tint: written, ...rest }: StarsWish, tint?: Triple): PlainStars => {
  const numbers = typeof written === 'string' ? tint : written;
  return { ...rest, ...(numbers && { tint: [numbers[0], numbers[1], numbers[2]] }) };
};

/** Smoothing with its strength a number. */
export const numberSmooth = (
  { strength, ...rest }: WrittenSmooth,
  results: ReadonlyMap<string, ExpressionResult>,
): SmoothWish => ({ ...rest, ...(strength !== undefined && { strength: weightOf(strength, results) }) });

/** The number that a weight is, 0 where that is not known. */
export const weightOf = (weight: WrittenWeight, results: ReadonlyMap<string, ExpressionResult>): number => {
  if (typeof weight === 'number') return weight;
  const result = results.get(weight);
  return plainNumber(weight) ?? (result && 'value' in result ? result.value : 0);
};

/** What is wrong with the value of a weight that is written as a text. */
export const weightFault = (
  text: string,
  result: ExpressionResult | undefined,
  [least, most]: readonly [number, number] = WEIGHT_RANGE,
): string | undefined => {
  if (result && 'fault' in result) return described(text, result.fault);
  const value = weightOf(text, result ? new Map([[text, result]]) : new Map());
  if (value >= least && value <= most) return undefined;
  return described(text, { message: `gives ${value}, which is not within ${least} to ${most}`, at: 1 });
};

const described = (text: string, { message, at }: { message: string; at: number }): string => {
  const shown = text.length > 40 ? `${text.slice(0, 39)}…` : text;
  return `${JSON.stringify(shown)}: ${message}${at > 1 ? ` (character ${at})` : ''}`;
};
