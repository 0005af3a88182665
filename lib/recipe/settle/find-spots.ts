import { searchDefects } from '../../check/find-defects.ts';
import type { Channel } from '../../measure/measure.ts';
import { inputError } from '../../plane/errors.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { filled, type Spots } from '../../prepare/fill.ts';
import { MOST_SPOTS } from '../written/limits.ts';
import type { Recipe } from '../written/schema.ts';
import type { Notes } from './notes.ts';

/**
 * The spots that a recipe fills: those that it states, or those that checking the lines it uses lists.
 * @param channels the lines that it uses
 * @throws LinewashError 'input' where spots cannot be told from stars, or a stated one lies outside the frame
 */
export const findSpots = async (
  recipe: Recipe,
  channels: readonly Channel[],
  notes: Notes,
  options: StripOptions,
): Promise<void> => {
  const wish = recipe.spots;
  if (wish === undefined) return;
  const at = wish === 'fill' ? await listedSpots(channels, notes, options) : new Map(Object.entries(wish));
  for (const { name, source } of channels) {
    const { width, height } = source;
    const places = at.get(name) ?? [];
    const outside = places.find(([x, y]) => x >= width || y >= height);
    if (outside)
      throw inputError(
        `the spot ${outside.join(',')} of ${name} lies outside the frame of ${width} × ${height} pixels`,
        'give places of this master, or "spots": "fill"',
        source.file,
      );
    if (places.length > 0) notes.add(name, { spots: { width, height, at: inOrder(places) } });
  }
};

/** The places that checking these lines lists. */
const listedSpots = async (channels: readonly Channel[], notes: Notes, options: StripOptions) => {
  if (channels.length < 2)
    throw inputError(
      'spots are told from stars by another line, and this recipe uses one',
      'use a second line, or state the places of the spots in the recipe',
    );
  const { defects, untold } = await searchDefects(channels, options);
  if (untold.length === channels.length)
    throw inputError(
      'spots cannot be told from stars: too few stars show in all lines, or the frame is too small',
      'state the places of the spots in the recipe, or leave them',
    );
  for (const name of untold)
    notes.warnings.push(`${name}: too few of its stars show in all lines; no spot of it is filled`);
  const spots = defects.filter(({ kind }) => kind === 'spots');
  const many = spots.find(({ places = [] }) => places.length > MOST_SPOTS);
  if (many)
    throw inputError(
      `${many.channel} has ${many.count} spots, more than ${MOST_SPOTS}: they are no hot pixels`,
      'look at the master alone, and leave its spots',
    );
  return new Map(spots.map(({ channel, places = [] }) => [channel, places]));
};

const inOrder = (places: Spots['at']): Spots['at'] =>
  [...places].map(([x, y]) => [x, y] as const).sort((a, b) => a[1] - b[1] || a[0] - b[0]);

/** Channels with their spots filled, as far as they have any. */
export const filledChannels = (channels: readonly Channel[], findings: Notes['findings']): readonly Channel[] =>
  channels.map(({ name, source }) => {
    const { spots } = findings[name] ?? {};
    return { name, source: spots ? filled(source, spots) : source };
  });
