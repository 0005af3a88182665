import { DEFAULT_CHANNELS } from '../../lib/plane/name.ts';
import type { Recipe, WrittenRecipe } from '../../lib/recipe/written/schema.ts';

/** The channels of a recipe as written: named, or those whose colours it gives, or S, H, O. */
export const channelsOf = ({ channels, lines }: WrittenRecipe): readonly string[] =>
  channels ?? (lines && Object.keys(lines)) ?? DEFAULT_CHANNELS;

/** The lines of the weights table: those of the recipe, then those that only the masters have. */
export const columnsOf = (recipe: WrittenRecipe, masters: readonly string[]): string[] => {
  const own = channelsOf(recipe);
  return [...own, ...masters.filter((line) => !own.includes(line))];
};

/** A weight as written: a number, an expression, or undefined where it follows from the colour of its line. */
export const weightOf = (recipe: WrittenRecipe, row: number, line: string): number | string | undefined => {
  const at = channelsOf(recipe).indexOf(line);
  if (at < 0) return 0;
  return recipe.matrix === undefined ? undefined : (recipe.matrix[row]?.[at] ?? 0);
};

/** The weight of a line in a recipe whose weights are numbers; 0 for a line that it does not know. */
export const plainWeight = (plain: Recipe | undefined, row: number, line: string): number =>
  plain?.matrix[row]?.[channelsOf(plain).indexOf(line)] ?? 0;

/**
 * The recipe with one weight changed; a line that it does not know becomes a new column. Where the weights follow from
 * colours, they become the numbers that those gave: `plain`.
 */
export const withWeight = (
  recipe: WrittenRecipe,
  plain: Recipe | undefined,
  row: number,
  line: string,
  weight: number,
): WrittenRecipe => {
  const { lines: _, ...rest } = recipe;
  const before = channelsOf(recipe);
  const channels = before.includes(line) ? [...before] : [...before, line];
  const from = recipe.matrix ?? plain?.matrix ?? [[], [], []];
  const matrix = from.map((weights, r) =>
    channels.map((name, c) => (r === row && name === line ? weight : (weights[c] ?? 0))),
  );
  const { lightness } = rest;
  const grown = Array.isArray(lightness) && { lightness: channels.map((_, c) => lightness[c] ?? 0) };
  return { ...rest, ...grown, channels, matrix };
};

/** The lines that a recipe uses: those with a weight that is not plainly zero. */
export const usedLines = (recipe: WrittenRecipe): string[] => {
  const { matrix, lightness } = recipe;
  return channelsOf(recipe).filter((line, c) => {
    if (matrix === undefined || matrix.some((row) => (row[c] ?? 0) !== 0)) return true;
    return typeof lightness === 'string' ? lightness === line : (lightness?.[c] ?? 0) !== 0;
  });
};

/** The lines whose masters a recipe needs: those it uses, and those it subtracts from them. */
export const neededLines = (recipe: WrittenRecipe): string[] => {
  const used = usedLines(recipe);
  return [...new Set([...used, ...used.flatMap((line) => recipe.continuum?.[line]?.from ?? [])])];
};

/** Lines that a recipe uses and no master stands for. */
export const missingLines = (recipe: WrittenRecipe, masters: readonly string[]): string[] =>
  usedLines(recipe).filter((line) => !masters.includes(line));

/** The recipe with a knob set. */
export const withKnob = (recipe: WrittenRecipe, name: string, value: number): WrittenRecipe => ({
  ...recipe,
  knobs: { ...recipe.knobs, [name]: { ...recipe.knobs![name]!, value } },
});

/** True where two recipes make the same picture; names and texts do not matter. */
export const sameMix = (a: WrittenRecipe, b: WrittenRecipe): boolean => mixOf(a) === mixOf(b);

const mixOf = (recipe: WrittenRecipe): string => {
  const { name, about, by, licence, linewash, ...rest } = recipe;
  const parts = Object.entries({ ...rest, channels: channelsOf(recipe) });
  return JSON.stringify(Object.fromEntries(parts.sort(([x], [y]) => (x < y ? -1 : 1))));
};

/** What prepares and stretches one line of a recipe, as a grey picture of that line. */
export const aloneRecipe = (recipe: WrittenRecipe, line: string): WrittenRecipe => {
  const { linewash, background: { model, from, order, include, exclude } = {}, levels, stretch, zeros } = recipe;
  const background = present({ model, from, order, include, exclude });
  const kept = { linewash, zeros, background, levels: ofLine(levels, line), stretch: ofLine(stretch, line) };
  return { ...present(kept), name: line, channels: [line], matrix: [[1], [1], [1]], balance: 'as-written' };
};

const present = <T extends object>(record: T): Partial<T> =>
  Object.fromEntries(Object.entries(record).filter(([, value]) => value !== undefined)) as Partial<T>;

/** What is said of a line, or of all that nothing is said of. */
const ofLine = <T>(entries: Readonly<Record<string, T>> | undefined, line: string): Record<string, T> | undefined => {
  const found = entries?.[line] ?? entries?.['*'];
  return found === undefined ? undefined : { [line]: found };
};

/** A first recipe for lines that no catalogue recipe fits: the first red, the last blue, those between in between. */
export const evenRecipe = (lines: readonly string[]): WrittenRecipe => {
  const last = Math.max(1, lines.length - 1);
  const share = (row: number, c: number) => Math.max(0, 1 - Math.abs((c / last) * 2 - row));
  return {
    channels: [...lines],
    matrix: [0, 1, 2].map((row) => (lines.length === 1 ? [1] : lines.map((_, c) => share(row, c)))),
    balance: lines.length === 2 ? 'as-written' : 'rows',
  };
};
