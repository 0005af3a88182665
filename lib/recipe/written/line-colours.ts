import { formatColour } from '../../colour/colour-text.ts';
import type { ParsedColour } from '../../colour/css.ts';
import { coloursFromMatrix, type MixDomain, matrixFromColours } from '../../colour/from-line-colours.ts';
import { lineColour } from '../../colour/lines.ts';
import { shortColour } from '../../colour/short-css.ts';
import type { Space } from '../../colour/space.ts';
import { SPACES } from '../../colour/spaces.ts';
import type { Triple } from '../../plane/linear.ts';
import { channelsOf } from './facts-of.ts';
import type { RecipeFault } from './fault.ts';
import type { LineColourEntry, Recipe, WrittenRecipe } from './schema.ts';

const formOf = ({ space = 'srgb', mixIn = 'display' }: Pick<WrittenRecipe, 'space' | 'mixIn'>) => ({
  space: SPACES[space],
  mixIn: mixIn as MixDomain,
});

/** A 3 × N matrix, or what is wrong with the colours. */
export type SolvedLines = { readonly matrix: number[][] } | { readonly faults: RecipeFault[] };

/**
 * The weights that give each channel the colour it has under `lines`: a column is the line's colour at full strength in
 * the values that are mixed. Balancing comes after.
 * @returns the 3 × N matrix, or the entries that are no colours
 */
export const solveLines = async (recipe: WrittenRecipe): Promise<SolvedLines> => {
  const { space, mixIn } = formOf(recipe);
  const faults: RecipeFault[] = [];
  const colours: Triple[] = [];
  for (const name of channelsOf(recipe)) {
    const entry = recipe.lines![name];
    // A colour that is missing is a fault found elsewhere.
    if (entry === undefined) continue;
    const found = await read(entry, space);
    if ('rgb' in found) colours.push(found.rgb);
    else faults.push({ path: ['lines', name], message: found.fault });
  }
  return faults.length > 0 ? { faults } : { matrix: matrixFromColours(colours, mixIn, space) };
};

/** The reader of all that CSS calls a colour is loaded only for what few recipes use. */
const read = async (entry: LineColourEntry, space: Space): Promise<ParsedColour> => {
  if (typeof entry !== 'string') return { rgb: lineColour(entry.wavelength, space) };
  const rgb = shortColour(entry, space);
  return rgb === undefined ? (await import('../../colour/css.ts')).parseColour(entry, space) : { rgb };
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
