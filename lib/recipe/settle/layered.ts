import type { Channel } from '../../measure/measure.ts';
import { inputError } from '../../plane/errors.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import type { Smoother } from '../../smooth/remembered.ts';
import { restored, type SplitLines, type SplitPlace, splitLines } from '../../stars/split-lines.ts';
import { smoothedChannels, unsmoothedChannels } from './prepared.ts';
import type { Settled, SettledOwnStars } from './settled.ts';

/** The sources of a picture, and those of its layer of stars. */
export interface LayeredChannels {
  readonly channels: Channel[];
  /** The channels without stars, and last the mask of stars; absent where no colour of stars is changed. */
  readonly stars?: readonly PlaneSource[];
}

/** Channels without their stars, the channels themselves, and the mask of stars, from one look at them. */
export type SplitChannels = SplitLines;

/** Takes stars out of channels of `unsmoothedChannels` at full size, or out of a part of them at this place. */
export const splitChannels = (
  { list, radius }: SettledOwnStars,
  unsmoothed: readonly Channel[],
  place: Omit<SplitPlace, 'farthest'> = {},
): SplitChannels => {
  if (list === undefined) throw new RangeError('the list of stars is not here');
  const sources = unsmoothed.map(({ source }) => source);
  return splitLines(sources, list, { ...place, farthest: radius });
};

/** How channels are layered: see `smoothedChannels`; and the channels without stars, where that is known already. */
export interface LayerOptions {
  readonly by?: number | undefined;
  readonly smoother?: Smoother | undefined;
  readonly split?: SplitChannels | undefined;
}

/**
 * Channels of `unsmoothedChannels` as the mix takes them: smoothed, their stars as bright as the settled numbers say; and
 * what the colour of stars is changed by. Stars are taken out first and brought back unsmoothed.
 */
export const layeredChannels = (
  { smooth, ownStars }: Pick<Settled, 'smooth' | 'ownStars'>,
  unsmoothed: readonly Channel[],
  { by, smoother, split }: LayerOptions = {},
): LayeredChannels => {
  const smoothed = (channels: readonly Channel[]) =>
    smooth ? smoothedChannels(smooth, channels, by, smoother) : [...channels];
  if (ownStars === undefined) return { channels: smoothed(unsmoothed) };
  const { starless, lines, mask } = split ?? splitChannels(ownStars, unsmoothed);
  const named = (sources: readonly PlaneSource[]) => unsmoothed.map(({ name }, k) => ({ name, source: sources[k]! }));
  const under = smoothed(named(starless));
  const { size, neutral } = ownStars;
  const channels =
    size === 1 && smooth === undefined
      ? named(lines)
      : named(under.map(({ source }, k) => restored(source, lines[k]!, starless[k]!, size)));
  return neutral > 0 ? { channels, stars: [...under.map(({ source }) => source), mask] } : { channels };
};

/**
 * All that a picture of settled numbers is rendered from, at full size: the channels as the mix takes them, and what the
 * colour of stars is changed by, for the last argument of `renderPicture`.
 * @throws LinewashError 'input' where a channel has no source.
 */
export const pictureLayers = (settled: Settled, channels: readonly Channel[]): LayeredChannels => {
  if (settled.ownStars && settled.ownStars.list === undefined)
    throw inputError('the list of stars is not among these numbers', 'settle the recipe on the masters again');
  return layeredChannels(settled, unsmoothedChannels(settled, channels));
};
