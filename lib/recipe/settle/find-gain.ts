import { SPACES } from '../../colour/spaces.ts';
import { findAutoGain } from '../../finish/auto-gain.ts';
import type { Channel } from '../../measure/measure.ts';
import type { Plane } from '../../plane/plane.ts';
import { shrink } from '../../plane/shrink.ts';
import { countedPlaces } from '../suggest/counted.ts';
import { lightFunction, stretchFunction } from './pixel.ts';
import { preparedChannels } from './prepared.ts';
import type { Settled } from './settled.ts';

/** From fewer pixels nothing is found, and more add nothing. */
const [FEWEST, MOST] = [100, 8000];
/** So many levels of the same masters are remembered. */
const MOST_KEPT = 4;

/**
 * The gain on chroma that the finish of settled numbers asks for; undefined where hardly a pixel shows all lines without stars.
 * @param measured what was measured of the masters: it stands for them
 * @param small copies of the channels that the numbers need
 */
export const gainFor = async (
  settled: Settled,
  measured: object,
  small: () => Promise<readonly Channel[]>,
): Promise<number | undefined> => {
  const pixels = await keptPixels(measured, settled, small);
  return pixels && findGain(settled, pixels);
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
  for (const { source } of preparedChannels(withStars, channels))
    planes.push(await shrink(source, Math.max(source.width, source.height)));
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

const findGain = (settled: Settled, pixels: Float32Array): number => {
  const n = settled.channels.length;
  const colours = new Float64Array((3 * pixels.length) / n);
  const light = lightFunction(settled);
  for (let at = 0, to = 0; at < pixels.length; at += n, to += 3)
    light(pixels.subarray(at, at + n), colours.subarray(to, to + 3));
  return findAutoGain(colours, settled.finish!, SPACES[settled.space]).gain;
};
