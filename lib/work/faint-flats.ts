import type { Bins } from '../faint/bins.ts';
import { lookThrough } from '../faint/look.ts';
import type { Ground } from '../faint/octave.ts';
import { BRIGHT, farFromSky, maskSquares } from '../faint/sky.ts';
import { type Disc, maskDiscs } from '../faint/star-discs.ts';
import { type Wander, wanderOf } from '../faint/wander.ts';
import { NO_FACTS } from '../plane/facts.ts';
import { hidePixels } from '../plane/memory-plane.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { type StripOptions, samplesFor } from '../plane/strips.ts';
import type { Match, MatchedPart } from '../prepare/match.ts';
import { prepareLine } from './faint-line.ts';

/** What several masters tell of their flats. */
export interface FlatsOfMasters {
  readonly wander: readonly Wander[];
  /** Part of the light that flats leave in the combination, at a scale. */
  left(scale: number): number;
}

/** A combination of masters, its stars masked. */
export interface Combination {
  readonly bins: Bins;
  readonly ground: Ground;
  readonly stars: readonly Disc[];
  /** The largest scale in pixels. */
  readonly largest: number;
}

/**
 * The wander of the two masters that weigh most, in the sky; undefined for one. What is left in the mean of all is smaller by the root of the
 * sum of squared weights, as flats of different masters go wrong in different places.
 */
export const flatsOfMasters = async (
  match: Match | undefined,
  { bins: whole, ground, stars, largest }: Combination,
  options: StripOptions,
): Promise<FlatsOfMasters | undefined> => {
  const [first, second] = (match?.parts ?? []).toSorted((a, b) => b.weight - a.weight);
  if (first === undefined || second === undefined) return undefined;
  const { signal } = options;
  const prepared = await prepareLine({ name: 'difference', source: difference(first, second) }, ground.light, {
    signal,
  });
  const { noise, level } = prepared.ground;
  const { bins } = await lookThrough(prepared.source, { noise, level }, { signal });
  maskDiscs(bins, stars);
  maskSquares(bins, farFromSky(whole, BRIGHT * ground.light));
  const wander = wanderOf(bins, prepared.ground, largest);
  const mean = Math.sqrt(match!.parts.reduce((sum, { weight }) => sum + weight ** 2, 0));
  return {
    wander,
    left: (scale) => mean * (wander.find((of) => of.scale === scale)?.flats ?? 0),
  };
};

/** One master less another on the first one's scale; undefined where either is, or holds what the other contradicts. */
const difference = (one: MatchedPart, other: MatchedPart): PlaneSource => {
  const [a, b] = [one, other].map(({ source, outliers }) => (outliers ? hidePixels(source, outliers.mask) : source));
  const { width } = a!;
  return {
    ...a!,
    type: 'f32',
    fullScale: undefined,
    raw: undefined,
    origin: undefined,
    facts: NO_FACTS,
    async readRows(y, rows, into) {
      const values = samplesFor(b!, rows * width);
      await a!.readRows(y, rows, into);
      await b!.readRows(y, rows, values);
      for (let i = 0; i < rows * width; i++)
        into[i] = one.scale * into[i]! + one.offset - (other.scale * values[i]! + other.offset);
    },
  };
};
