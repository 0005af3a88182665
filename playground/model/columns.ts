import { DEFAULT_CHANNELS } from '../../lib/plane/name.ts';
import type { Recipe } from '../../lib/recipe/schema.ts';

/** The lines of the weights table: those of the recipe, then those that only the masters have. */
export const columnsOf = (recipe: Recipe, lines: readonly string[]): string[] => {
  const own = recipe.channels ?? DEFAULT_CHANNELS;
  return [...own, ...lines.filter((line) => !own.includes(line))];
};

/** The weight of a line in a row; 0 for a line that the recipe does not know. */
export const weightOf = (recipe: Recipe, row: number, line: string): number =>
  recipe.matrix[row]?.[(recipe.channels ?? DEFAULT_CHANNELS).indexOf(line)] ?? 0;

/** The recipe with one weight changed; a line that it does not know becomes a new column. */
export const withWeight = (recipe: Recipe, row: number, line: string, weight: number): Recipe => {
  const before = recipe.channels ?? DEFAULT_CHANNELS;
  const channels = before.includes(line) ? before : [...before, line];
  const at = channels.indexOf(line);
  const matrix = recipe.matrix.map((weights, r) => {
    const wide = channels.map((_, c) => weights[c] ?? 0);
    if (r === row) wide[at] = weight;
    return wide;
  });
  return { ...recipe, channels: [...channels], matrix };
};

/** Lines with a weight other than zero that no master stands for. */
export const missingLines = (recipe: Recipe, lines: readonly string[]): string[] =>
  (recipe.channels ?? DEFAULT_CHANNELS).filter(
    (line, c) => !lines.includes(line) && recipe.matrix.some((row) => row[c] !== 0),
  );

/** True where two recipes make the same picture; names and texts do not matter. */
export const sameMix = (a: Recipe, b: Recipe): boolean => JSON.stringify(mixOf(a)) === JSON.stringify(mixOf(b));

const mixOf = ({ name, about, by, licence, linewash, channels, ...rest }: Recipe) => ({
  channels: channels ?? DEFAULT_CHANNELS,
  ...Object.fromEntries(Object.entries(rest).sort(([x], [y]) => (x < y ? -1 : 1))),
});

/** A first recipe for lines that no catalogue recipe fits: the longest wavelengths red, the shortest blue, in order. */
export const plainRecipe = (lines: readonly string[]): Recipe => {
  const last = Math.max(1, lines.length - 1);
  const share = (row: number, c: number) => Math.max(0, 1 - Math.abs((c / last) * 2 - row));
  return {
    channels: [...lines],
    matrix: [0, 1, 2].map((row) => (lines.length === 1 ? [1] : lines.map((_, c) => share(row, c)))),
    balance: 'rows',
  };
};
