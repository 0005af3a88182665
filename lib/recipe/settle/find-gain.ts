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
/** From fewer pixels nothing is found, and more add nothing. */
const [FEWEST, MOST] = [100, 8000];
/** So many levels of the same masters are remembered. */
const MOST_KEPT = 4;

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
  preparation: Pick<Preparation, 'measured' | 'findings' | 'stars'>,
  small: SmallChannels,
): Promise<SettleResult> => {
  const { measured, findings, stars } = preparation;
  const result = settle(recipe, measured, findings, stars);
  if (!asksForGain(recipe)) return result;
  const pixels = await keptPixels(preparation.measured, result.settled, () => small(neededChannels(recipe), LOOKED_AT));
  if (pixels === undefined) {
    const warning =
      'hardly a pixel of these masters shows all lines without stars: no gain on chroma is found, it stays 1';
    return { ...result, warnings: [...result.warnings, warning] };
  }
  const found = findGain(result.settled, pixels);
  const { finish } = result.settled;
  const chroma = { ...finish!.chroma!, gain: found.gain };
  return { ...result, settled: { ...result.settled, finish: { ...finish, chroma } } };
};

/** What a gain is found from: values of pixels without stars, line by line within a pixel; by the levels of their lines. */
type Pixels = Map<string, Float32Array | undefined>;

/** A weight in the hand changes neither the masters nor their levels: the pixels are kept with what was measured. */
const known = new WeakMap<object, Pixels>();

const keptPixels = async (key: object, settled: Settled, small: () => Promise<readonly Channel[]>) => {
  const pixels: Pixels = known.get(key) ?? new Map();
  known.set(key, pixels);
  const levels = JSON.stringify([settled.channels, settled.smooth]);
  if (!pixels.has(levels)) {
    const found = await starFreePixels(settled, await small());
    if (pixels.size >= MOST_KEPT) pixels.clear();
    pixels.set(levels, found);
  }
  return pixels.get(levels);
};

/** Undefined where hardly a pixel is left. */
const starFreePixels = async (settled: Settled, channels: readonly Channel[]): Promise<Float32Array | undefined> => {
  const { ownStars: _, ...withStars } = settled;
  const planes: Plane[] = [];
  for (const { source } of preparedChannels(withStars, channels)) planes.push(await shrink(source, LOOKED_AT));
  const { width, height } = planes[0]!;
  const stretched = planes.map(() => new Float32Array(width * height));
  const stretch = stretchFunction(settled);
  const n = planes.length;
  const [values, strengths] = [new Float64Array(n), new Float64Array(n)];
  for (let i = 0; i < width * height; i++) {
    for (const [c, { data }] of planes.entries()) values[c] = data[i]!;
    stretch(values, strengths);
    for (const [c, plane] of stretched.entries()) plane[i] = Number.isFinite(values[c]!) ? strengths[c]! : Number.NaN;
  }
  const places = countedPlaces(stretched, width, height);
  if (places.length < FEWEST) return undefined;
  const stride = Math.ceil(places.length / MOST);
  const chosen = places.filter((_, k) => k % stride === 0);
  return Float32Array.from({ length: n * chosen.length }, (_, k) => planes[k % n]!.data[chosen[Math.floor(k / n)]!]!);
};

const findGain = (settled: Settled, pixels: Float32Array): FoundGain => {
  const n = settled.channels.length;
  const colours = new Float64Array((3 * pixels.length) / n);
  const light = lightFunction(settled);
  for (let at = 0, to = 0; at < pixels.length; at += n, to += 3)
    light(pixels.subarray(at, at + n), colours.subarray(to, to + 3));
  return findAutoGain(colours, settled.finish!, SPACES[settled.space]);
};
