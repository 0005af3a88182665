import type { Channel } from '../measure/measure.ts';
import type { Box } from '../plane/box.ts';
import { planeSource } from '../plane/memory-plane.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { shrinkTogether } from '../plane/shrink.ts';
import type { StripOptions } from '../plane/strips.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { type SplitChannels, splitChannels } from '../recipe/settle/layered.ts';
import { unsmoothedChannels } from '../recipe/settle/prepared.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { bandRows } from '../render/picture.ts';
import { reachOfScales } from '../smooth/noise-model.ts';
import { reachOfStars } from '../stars/split-lines.ts';
import { type OpenLines, zerosOf } from './open-lines.ts';

/** Pixels around a part of a picture that its pixels depend on, where lines are smoothed or stars are taken out. */
export const reachOfLayers = ({ smooth, ownStars }: Pick<Settled, 'smooth' | 'ownStars'>): number =>
  (smooth ? reachOfScales(smooth.scales) : 0) + (ownStars?.list ? reachOfStars(ownStars.list, ownStars.radius) : 0);

/**
 * Small copies of lines without their stars. Stars are taken out at full size: a small copy of a star is not its picture.
 * @param small the lines themselves, in small
 */
export const smallSplit = (
  lines: OpenLines,
  recipe: Recipe,
  settled: Settled,
  small: readonly Channel[],
  longest: number,
  options: StripOptions,
): Promise<SplitChannels> => {
  const { channels, ownStars } = settled;
  const zeros = zerosOf(recipe);
  const prepared = channels.map(({ name, surface, continuum, spots }) => [name, surface, continuum, spots]);
  const key = JSON.stringify(['split', prepared, zeros, ownStars!.hash, ownStars!.radius, longest]);
  return lines.once(key, async () => {
    const full = unsmoothedChannels(settled, await lines.full(neededChannels(recipe), zeros, options));
    const { starless, mask } = splitChannels(ownStars!, full);
    const sources = [...starless, mask];
    const planes = await shrinkTogether(sources, longest, bandRows(mask.width, sources), options);
    const copies = planes.map((plane, k) => planeSource(sources[k]!.file, plane, sources[k]!.facts));
    return { starless: copies.slice(0, -1), mask: copies.at(-1)!, lines: small.map(({ source }) => source) };
  });
};

/** The part of a frame that a box depends on, and the box in it. */
export const boxWithin = ({ width, height }: PlaneSource, box: Box, reach: number): { around: Box; inside: Box } => {
  const [x, y] = [box.x, box.y].map((from) => Math.floor(Math.max(0, from - reach) / GRID) * GRID) as [number, number];
  const right = Math.min(width, box.x + box.width + reach);
  const bottom = Math.min(height, box.y + box.height + reach);
  return {
    around: { x, y, width: right - x, height: bottom - y },
    inside: { ...box, x: box.x - x, y: box.y - y },
  };
};

/** Kept pixels of every scale, and what is computed at once, lie at multiples of this in the frame. */
const GRID = 64;
