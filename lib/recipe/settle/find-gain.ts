import { SPACES } from '../../colour/spaces.ts';
import { type FoundGain, findAutoGain } from '../../finish/auto-gain.ts';
import type { Channel } from '../../measure/measure.ts';
import type { Plane } from '../../plane/plane.ts';
import { shrink } from '../../plane/shrink.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { countedPlaces } from '../suggest/counted.ts';
import type { Recipe } from '../written/schema.ts';
import { neededChannels, type Preparation } from './channels.ts';
import { lightFunction, stretchFunction } from './pixel.ts';
import { preparedChannels } from './prepared.ts';
import { type SettleResult, settle } from './settle.ts';
import { asksForGain } from './settle-finish.ts';
import type { Settled } from './settled.ts';

/** Longer side in pixels of the copies that are looked at. */
export const LOOKED_AT = 480;
/** From fewer pixels nothing is found. */
const FEWEST = 100;

/** Copies of channels whose longer side is at most that many pixels. */
export type SmallChannels = (names: readonly string[], longest: number) => Promise<readonly Channel[]>;

/** Small copies of channels at hand. */
export const smallOf =
  (channels: readonly Channel[], options: StripOptions): SmallChannels =>
  async (names, longest) => {
    const { planeSource } = await import('../../plane/memory-plane.ts');
    const copies: Channel[] = [];
    for (const { name, source } of channels)
      if (names.includes(name))
        copies.push({ name, source: planeSource(source.file, await shrink(source, longest, options), source.facts) });
    return copies;
  };

/**
 * Settles a recipe on what preparing its channels gave; where its finish asks for a gain on chroma, this is found from small
 * copies of the masters.
 */
export const settlePrepared = async (
  recipe: Recipe,
  { measured, findings, stars }: Pick<Preparation, 'measured' | 'findings' | 'stars'>,
  small: SmallChannels,
): Promise<SettleResult> => {
  const result = settle(recipe, measured, findings, stars);
  if (!asksForGain(recipe)) return result;
  const channels = await small(neededChannels(recipe), LOOKED_AT);
  const found = await findGain(result.settled, channels);
  if (found === undefined) {
    const warning =
      'hardly a pixel of these masters shows all lines without stars: no gain on chroma is found, it stays 1';
    return { ...result, warnings: [...result.warnings, warning] };
  }
  const { finish } = result.settled;
  const chroma = { ...finish!.chroma!, gain: found.gain };
  return { ...result, settled: { ...result.settled, finish: { ...finish, chroma } } };
};

/** The gain for pixels of small copies that show no stars; undefined where hardly any is left. */
const findGain = async (settled: Settled, channels: readonly Channel[]): Promise<FoundGain | undefined> => {
  const { ownStars: _, ...withStars } = settled;
  const planes: Plane[] = [];
  for (const { source } of preparedChannels(withStars, channels)) planes.push(await shrink(source, LOOKED_AT));
  const { width, height } = planes[0]!;
  const stretched = planes.map(() => new Float32Array(width * height));
  const stretch = stretchFunction(settled);
  const [values, strengths] = [new Float64Array(planes.length), new Float64Array(planes.length)];
  const valuesAt = (i: number): Float64Array => {
    for (const [c, { data }] of planes.entries()) values[c] = data[i]!;
    return values;
  };
  for (let i = 0; i < width * height; i++) {
    stretch(valuesAt(i), strengths);
    for (const [c, plane] of stretched.entries()) plane[i] = Number.isFinite(values[c]!) ? strengths[c]! : Number.NaN;
  }
  const places = countedPlaces(stretched, width, height);
  if (places.length < FEWEST) return undefined;
  const colours = new Float64Array(3 * places.length);
  const light = lightFunction(settled);
  for (const [k, i] of places.entries()) light(valuesAt(i), colours.subarray(3 * k, 3 * k + 3));
  return findAutoGain(colours, settled.finish!, SPACES[settled.space]);
};
