import { formatColour, parseColour } from '../colour/css.ts';
import { coloursFromMatrix, type MixDomain, matrixFromColours } from '../colour/from-line-colours.ts';
import { lineColour } from '../colour/lines.ts';
import { SPACES } from '../colour/spaces.ts';
import type { Triple } from '../plane/linear.ts';
import { channelsOf } from './check.ts';
import type { Finding } from './finding.ts';
import type { LineColourEntry, Recipe, WrittenRecipe } from './schema.ts';

const formOf = ({ space = 'srgb', mixIn = 'display' }: Pick<WrittenRecipe, 'space' | 'mixIn'>) => ({
  space: SPACES[space],
  mixIn: mixIn as MixDomain,
});

/** A 3 × N matrix, or what is wrong with the colours. */
export type SolvedLines = { readonly matrix: number[][] } | { readonly faults: Finding[] };

/**
 * The weights that give each channel the colour it has under `lines`: a column is the line's colour at full strength in
 * the values that are mixed. Balancing comes after.
 * @returns the 3 × N matrix, or the entries that are no colours
 */
export const solveLines = (recipe: WrittenRecipe): SolvedLines => {
  const { space, mixIn } = formOf(recipe);
  const faults: Finding[] = [];
  const colours = channelsOf(recipe).map((name): Triple => {
    const found = read(recipe.lines![name]!, recipe);
    if ('rgb' in found) return found.rgb;
    faults.push({ path: ['lines', name], message: found.fault });
    return [0, 0, 0];
  });
  return faults.length > 0 ? { faults } : { matrix: matrixFromColours(colours, mixIn, space) };
};

const read = (entry: LineColourEntry, recipe: WrittenRecipe) => {
  const { space } = formOf(recipe);
  return typeof entry === 'string' ? parseColour(entry, space) : { rgb: lineColour(entry.wavelength, space) };
};

/**
 * The same recipe written by the colours of its lines (CSS colours with six decimals) instead of by rows. Balance stays
 * as it is, since it applies to either form.
 */
export const asLines = ({ matrix, ...rest }: Recipe): WrittenRecipe => {
  const { space, mixIn } = formOf(rest);
  const colours = coloursFromMatrix(matrix, mixIn, space);
  const channels = [...channelsOf(rest)];
  const lines = Object.fromEntries(channels.map((name, i) => [name, formatColour(colours[i]!, space)]));
  return { ...rest, channels, lines };
};
