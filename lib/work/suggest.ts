import { inputError } from '../plane/errors.ts';
import { shrink } from '../plane/shrink.ts';
import type { StripOptions } from '../plane/strips.ts';
import { preparedChannels, withoutSpots } from '../recipe/settle/prepared.ts';
import { spotsOf } from '../recipe/settle/settle-prepared.ts';
import { type LineSample, sampleLines } from '../recipe/suggest/sample.ts';
import { type Suggestions, suggestMixes, weakLines } from '../recipe/suggest/suggest.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { type OpenLines, zerosOf } from './open-lines.ts';
import { filledCopies } from './small-filled.ts';

/** Longer side in pixels of the copies that are looked at. */
const LOOKED_AT = 480;

/** Mixes that suit the masters, and what is to be said of these. */
export interface SuggestedMixes extends Suggestions {
  readonly warnings: readonly string[];
}

/** What suggestions are made for beside the lines. */
export interface SuggestWish {
  /** Spots that are filled first, as a recipe says it; the suggested recipes say the same. Lines that are not open do not count. */
  readonly spots?: Recipe['spots'];
}

/** Lines as a recipe of nothing but a matrix would stretch them, each pixel of a small copy. */
const sampled = async (lines: OpenLines, spots: Recipe['spots'], options: StripOptions) => {
  const channels = [...lines.names];
  const even = channels.map(() => 1);
  const recipe: Recipe = { channels, matrix: [even, even, even], balance: 'rows', ...(spots && { spots }) };
  const { settled, notes, warnings } = await lines.settle(recipe, options);
  const copies = { names: channels, zeros: zerosOf(recipe), longest: LOOKED_AT };
  const small = await filledCopies(lines, copies, spotsOf(settled.channels), { signal: options.signal });
  const planes = [];
  for (const { source } of preparedChannels(withoutSpots(settled), small)) planes.push(await shrink(source, LOOKED_AT));
  const sample: LineSample = sampleLines(settled.channels, planes);
  return { sample, warnings: [...notes, ...warnings] };
};

/**
 * Mixes computed from the masters of all open lines, stretched as a recipe of nothing but a matrix would.
 * @throws LinewashError 'input' where fewer than two lines are open or hold signal
 */
export const suggestLines = async (
  lines: OpenLines,
  options: StripOptions & SuggestWish = {},
): Promise<SuggestedMixes> => {
  if (lines.names.length < 2)
    throw inputError('one line alone makes no colours', 'give masters of at least two lines, for example H and O');
  const { spots: wish, ...how } = options;
  const spots = wish && ofLines(wish, lines.names);
  const { sample, warnings } = await sampled(lines, spots, how);
  const found = suggestMixes(sample);
  const suggestions = found.suggestions.map((one) => (spots ? { ...one, recipe: { ...one.recipe, spots } } : one));
  return { ...found, suggestions, warnings };
};

/** Stated places of open lines; undefined where none are left. */
const ofLines = (spots: NonNullable<Recipe['spots']>, names: readonly string[]): Recipe['spots'] => {
  if (spots === 'fill') return spots;
  const open = Object.entries(spots).filter(([name]) => names.includes(name));
  return open.length > 0 ? Object.fromEntries(open) : undefined;
};

/** The lines that hold almost nothing but noise. */
export const weakOf = async (lines: OpenLines, options: StripOptions = {}): Promise<string[]> =>
  weakLines((await sampled(lines, undefined, options)).sample);
