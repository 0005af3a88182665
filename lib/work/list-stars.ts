import { inputError } from '../plane/errors.ts';
import type { StripOptions } from '../plane/strips.ts';
import { type SplitChannels, splitChannels } from '../recipe/settle/layered.ts';
import type { SettledOwnStars } from '../recipe/settle/settled.ts';
import { USUAL_STAR_RADIUS } from '../recipe/written/limits.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { ellipticityOf, fwhmOf, type StarShape } from '../stars/shape.ts';
import { MAP_PARTS, shapesOverFrame } from '../stars/shape-map.ts';
import { type StarList, unpackStars } from '../stars/star-list.ts';
import type { OpenLines, Zeros } from './open-lines.ts';

/** What the stars of a line look like. */
export interface StarLook {
  /** Full width at half maximum in pixels. */
  readonly fwhm: number;
  /** 1 − short axis / long axis. */
  readonly flattening: number;
  /** Of the long axis, in degrees clockwise from the horizontal, −90…90. */
  readonly angle: number;
}

/** The stars of a line: all of the frame, and nine parts of it row by row, null where too few stars tell. */
export interface StarLineReport extends StarLook {
  readonly name: string;
  readonly parts: readonly (readonly (StarLook | null)[])[];
}

/** The stars of lines. */
export interface StarsReport {
  readonly lines: readonly StarLineReport[];
  readonly list: StarList;
}

/** A recipe that asks for nothing but the stars of lines. */
const askingForStars = (names: readonly string[], zeros: Zeros): Recipe => ({
  channels: [...names],
  matrix: [1, 2, 3].map(() => names.map(() => 1)),
  zeros,
  stars: { from: 'masters', neutral: 1, size: 0 },
});

/**
 * Finds the stars of lines, at full size and with all their light.
 * @throws LinewashError 'input' where there are none, or lines differ in size
 */
export const listStars = async (
  lines: OpenLines,
  names: readonly string[],
  zeros: Zeros,
  options: StripOptions = {},
): Promise<StarsReport> => {
  const { ownStars } = await foundStars(lines, names, zeros, options);
  const list = unpackStars(ownStars.list!)!;
  const sources = (await lines.full(names, zeros, options)).map(({ source }) => source);
  const maps = await shapesOverFrame(sources, list);
  return {
    list,
    lines: list.lines.map(({ name, shape }, k) => ({
      name,
      ...lookOf(shape),
      parts: Array.from({ length: MAP_PARTS }, (_, row) =>
        Array.from({ length: MAP_PARTS }, (__, column) => {
          const part = maps[k]![row * MAP_PARTS + column];
          return part ? lookOf(part) : null;
        }),
      ),
    })),
  };
};

const lookOf = (shape: StarShape): StarLook => ({ fwhm: fwhmOf(shape), ...ellipticityOf(shape) });

const foundStars = async (
  lines: OpenLines,
  names: readonly string[],
  zeros: Zeros,
  options: StripOptions,
): Promise<{ readonly ownStars: SettledOwnStars; readonly notes: readonly string[] }> => {
  const { settled, notes } = await lines.settle(askingForStars(names, zeros), options);
  if (settled.ownStars === undefined)
    throw inputError(
      'no stars are found in these masters',
      'give masters whose stars are bright in at least two lines',
    );
  return { ownStars: settled.ownStars, notes };
};

/** Lines whose stars are taken out, and what was said of them. */
export interface StarlessLines extends SplitChannels {
  readonly count: number;
  readonly notes: readonly string[];
}

/**
 * Takes the stars out of lines: masters for mixing, not for measuring.
 * @throws LinewashError 'input' as `listStars` does
 */
export const starlessLines = async (
  lines: OpenLines,
  names: readonly string[],
  zeros: Zeros,
  options: StripOptions = {},
): Promise<StarlessLines> => {
  const { ownStars, notes } = await foundStars(lines, names, zeros, options);
  const channels = await lines.full(names, zeros, options);
  const split = splitChannels({ ...ownStars, radius: USUAL_STAR_RADIUS }, channels);
  return { ...split, count: ownStars.count, notes };
};
