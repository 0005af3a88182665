import { formatColour } from '../../colour/colour-text.ts';
import { coloursFromMatrix } from '../../colour/from-line-colours.ts';
import { SPACES } from '../../colour/spaces.ts';
import type { Weights } from '../../mix/balance.ts';
import { recipeError } from '../../plane/errors.ts';
import { column } from '../../plane/linear.ts';
import { balancedMatrix } from '../settle/settle.ts';
import { channelsOf } from './facts-of.ts';
import { jsonPath } from './json.ts';
import { solveLines } from './line-colours.ts';
import type { LineColourEntry, Recipe, WrittenRecipe } from './schema.ts';

/** Balanced weights this close to those written are the same. */
const SAME = 1e-9;

/**
 * The recipe with another colour for one line, all other lines as they were on screen. A recipe of weights keeps that
 * form: the line's column is solved for the colour, expressions in other columns stay. A recipe of line colours gets the
 * colour as written. A line that the recipe does not know is added.
 * Balancing afterwards would change the colour again, so the weights are then taken as written; where the balance had an
 * effect, the other columns become what it gave.
 * @param plain the same recipe with every weight a number
 * @throws LinewashError 'recipe' where the text is no colour or the recipe cannot be balanced
 */
export const withLineColour = async (
  recipe: WrittenRecipe,
  plain: Recipe,
  line: string,
  colour: LineColourEntry,
): Promise<WrittenRecipe> => {
  const { space, mixIn } = recipe;
  const solved = await solveLines({
    channels: [line],
    lines: { [line]: colour },
    ...(space && { space }),
    ...(mixIn && { mixIn }),
  });
  if ('faults' in solved)
    throw recipeError(solved.faults.map(({ path, message }) => ({ path: jsonPath(path), message })));
  const known = channelsOf(recipe);
  const channels = known.includes(line) ? [...known] : [...known, line];
  const balanced = balancedMatrix(plain);
  const asWritten = balanced.every((row, r) => row.every((w, c) => Math.abs(w - plain.matrix[r]![c]!) <= SAME));
  const common: WrittenRecipe = { ...withLightness(recipe, channels.length), channels, balance: 'as-written' };
  if (recipe.lines !== undefined) {
    const others = asWritten ? recipe.lines : coloursOf(balanced, recipe);
    return { ...common, lines: { ...others, [line]: colour } };
  }
  const weights = column(solved.matrix, 0);
  const others = asWritten ? (recipe.matrix ?? balanced) : balanced.map((row) => row.map(rounded));
  const matrix = others.map((row, r) => channels.map((name, c) => (name === line ? rounded(weights[r]!) : row[c]!)));
  return { ...common, matrix };
};

/** Dust of binary fractions would stand in the table. */
const rounded = (weight: number): number => Number(weight.toFixed(6)) + 0;

const coloursOf = (balanced: Weights, recipe: WrittenRecipe): Record<string, string> => {
  const space = SPACES[recipe.space ?? 'srgb'];
  const colours = coloursFromMatrix(balanced, recipe.mixIn ?? 'display', space);
  return Object.fromEntries(channelsOf(recipe).map((name, c) => [name, formatColour(colours[c]!, space)]));
};

/** A row of lightness weights has one for each channel. */
const withLightness = (recipe: WrittenRecipe, count: number): WrittenRecipe => {
  const { lightness } = recipe;
  if (!Array.isArray(lightness) || lightness.length === count) return recipe;
  return { ...recipe, lightness: Array.from({ length: count }, (_, c) => lightness[c] ?? 0) };
};
