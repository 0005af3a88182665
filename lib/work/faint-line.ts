import { lookThrough } from '../faint/look.ts';
import type { Ground } from '../faint/octave.ts';
import { maskShade } from '../faint/sky.ts';
import { maskDiscs, starDiscs } from '../faint/star-discs.ts';
import type { Channel } from '../measure/measure.ts';
import { inputError, LinewashError } from '../plane/errors.ts';
import type { HeaderFacts } from '../plane/facts.ts';
import type { LineNoise } from '../plane/line-noise.ts';
import type { StripOptions } from '../plane/strips.ts';
import { termCount } from '../prepare/background/fit.ts';
import { withoutSurface } from '../prepare/background/surface.ts';
import { fitChannelSurface } from '../recipe/settle/find-surfaces.ts';
import { findNoise } from '../smooth/find-noise.ts';
import { widthOf } from '../stars/find/guess-width.ts';

/** The width of stars where there are none to measure. */
const USUAL_WIDTH = 2.8;
const ORDER = 2;

/** A line less its surface, and what its values are told from. */
export interface PreparedLine {
  readonly source: Channel['source'];
  readonly ground: Ground;
}

/** Finds noise and surface of a line. */
export const prepareLine = async (
  { name, source }: Channel,
  light: number | undefined,
  options: StripOptions,
): Promise<PreparedLine> => {
  const { signal, executor, progress } = options;
  const noise = await findNoise(source, { signal });
  if (noise === undefined)
    throw inputError('shows no noise, or hardly a place with data', 'give a master as it was stacked', source.file);
  const fit = await surfaceOf({ name, source }, { signal, executor, progress });
  const ground = { noise, surface: fit, level: noise.level, light: light ?? lightOf(noise, source.facts) };
  return { source: withoutSurface(source, fit), ground };
};

const surfaceOf = async (channel: Channel, options: StripOptions) => {
  try {
    return (await fitChannelSurface(channel, { model: 'surface', order: ORDER }, options)).fit.surface;
  } catch (cause) {
    if (!(cause instanceof LinewashError && cause.tag === 'input')) throw cause;
    throw inputError(
      `holds too little data for a map: ${2 * termCount(ORDER)} blocks of sky are the least`,
      'give a master of at least 64 × 64 pixels with data',
      channel.source.file,
    );
  }
};

/**
 * The light in a pixel of sky. Where the header states the gain, photons tell it: variance = light · perCount. A rise that was
 * fitted to the pixels is too uncertain for that: then it is the level, which holds what bias was left, unless that is no level.
 */
const lightOf = ({ variance, perCount, level }: LineNoise, { cards }: HeaderFacts): number => {
  const photons = perCount > 0 ? variance / perCount : 0;
  const isStated = cards.some(({ keyword }) => keyword === 'EGAIN');
  return isStated || level <= 0 ? photons : level;
};

/** The first bins of a prepared line, its stars masked. */
export const binned = async ({ source, ground }: PreparedLine, options: StripOptions) => {
  const { noise, level } = ground;
  const fwhm = (await widthOf([{ source }], [Math.sqrt(noise.variance)], options)) ?? USUAL_WIDTH;
  const { bins, peaks } = await lookThrough(source, { noise, level, fwhm }, options);
  const stars = starDiscs(peaks, bins, ground, fwhm);
  maskDiscs(bins, stars);
  if (ground.surface?.shade) maskShade(bins, ground.surface.shade);
  return { bins, ground, stars };
};
