import type { Channel } from '../../measure/measure.ts';
import { inputError } from '../../plane/errors.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { withoutSurface } from '../../prepare/background/surface.ts';
import { lessContinuum } from '../../prepare/continuum.ts';
import { filled } from '../../prepare/fill.ts';
import { smallerSmoothing } from '../../smooth/preview.ts';
import type { Smoother } from '../../smooth/remembered.ts';
import { smoothedMembers } from '../../smooth/smoothed-lines.ts';
import type { SettledChannel, SettledSmooth } from './settled.ts';

/** The settled numbers that prepare a channel's pixels. */
export interface Preparing {
  readonly channels: readonly Pick<SettledChannel, 'name' | 'surface' | 'continuum' | 'spots'>[];
  readonly smooth?: SettledSmooth | undefined;
  readonly ownStars?: unknown;
}

/** The same numbers for sources whose spots are filled already. */
export const withoutSpots = <T extends Pick<Preparing, 'channels'>>(settled: T): T => ({
  ...settled,
  channels: settled.channels.map(({ spots: _, ...channel }) => channel),
});

/**
 * The sources that settled numbers apply to, in their order: each channel less its surface and its continuum, and
 * smoothed. Where there is nothing to do, the source itself. Pictures of any size do, for surfaces live in the frame and
 * smoothing knows its size: a smaller copy of all masters gives a smaller copy of the result. Cut parts out afterwards, not before.
 * @throws LinewashError 'input' where a channel has no source, and for numbers that change stars: `pictureLayers` gives what
 * these need.
 */
export const preparedChannels = (settled: Preparing, channels: readonly Channel[]): Channel[] => {
  if (settled.ownStars !== undefined)
    throw inputError(
      'these numbers change the stars of the masters',
      'use pictureLayers, which gives all that they need',
    );
  const prepared = unsmoothedChannels(settled, channels);
  return settled.smooth ? smoothedChannels(settled.smooth, prepared) : prepared;
};

/**
 * The same before smoothing: each channel with its spots filled, less its surface and its continuum. Spots belong to the full
 * frame: a smaller copy keeps what is left of them, unless it was made of a filled source.
 */
export const unsmoothedChannels = (settled: Pick<Preparing, 'channels'>, channels: readonly Channel[]): Channel[] => {
  const sourceOf = (name: string): PlaneSource => {
    const found = channels.find((c) => c.name === name);
    if (found === undefined) throw inputError(`no master is given for ${name}`, `give the channel ${name} too`);
    const { source } = found;
    const spots = settled.channels.find((channel) => channel.name === name)?.spots;
    return spots?.width === source.width && spots.height === source.height ? filled(source, spots) : source;
  };
  return settled.channels.map(({ name, surface, continuum }) => {
    const plain = sourceOf(name);
    const even = surface ? withoutSurface(plain, surface) : plain;
    if (continuum === undefined) return { name, source: even };
    const broad = sourceOf(continuum.from);
    const evenBroad = continuum.surface ? withoutSurface(broad, continuum.surface) : broad;
    return { name, source: lessContinuum(even, evenBroad, continuum.k, continuum.background) };
  });
};

/** By how much channels are smaller than the frame that a smoothing belongs to, where they show all of it. */
export const smallerBy = ({ frame }: Pick<SettledSmooth, 'frame'>, [first]: readonly Channel[]): number =>
  Math.sqrt((frame.width * frame.height) / (first!.source.width * first!.source.height));

/**
 * Channels of `unsmoothedChannels`, smoothed.
 * @param by by how much they are smaller than the frame; 1 for a part at full size; absent where they show all of it
 * @throws LinewashError 'input' where the guide is not among them.
 */
export const smoothedChannels = (
  smooth: SettledSmooth,
  prepared: readonly Channel[],
  by?: number,
  smoother: Smoother = smoothedMembers,
): Channel[] => {
  const { strength, scales } = smooth;
  const members = prepared.filter(({ name }) => smooth.noise[name] !== undefined);
  const guide = members.findIndex(({ name }) => name === smooth.guide);
  if (guide < 0) throw inputError(`no master is given for ${smooth.guide}`, `give the channel ${smooth.guide} too`);
  const noise = members.map(({ name }) => smooth.noise[name]!);
  const lines = members.flatMap(({ name }, i) => (smooth.lines.includes(name) ? i : []));
  const smoothing = smallerSmoothing({ strength, scales, noise, guide, lines }, by ?? smallerBy(smooth, prepared));
  if (smoothing.scales <= 0) return [...prepared];
  const sources = smoother(
    members.map(({ source }) => source),
    smoothing,
  );
  return prepared.map((channel) => {
    const i = members.indexOf(channel);
    return i < 0 ? channel : { name: channel.name, source: sources[i]! };
  });
};
