import { rgbToOklab } from '../../colour/oklab.ts';
import { SPACES } from '../../colour/spaces.ts';
import { findAutoGain } from '../../finish/auto-gain.ts';
import type { ChromaGain } from '../../finish/finish.ts';
import type { Channel } from '../../measure/measure.ts';
import type { Plane } from '../../plane/plane.ts';
import { shrink } from '../../plane/shrink.ts';
import { countedPlaces } from '../suggest/counted.ts';
import type { Recipe } from '../written/schema.ts';
import { lightFunction, pixelFunction, stretchFunction } from './pixel.ts';
import { preparedChannels, withoutSpots } from './prepared.ts';
import { asksForGain, asksForSky, endOf } from './settle-finish.ts';
import type { Settled } from './settled.ts';

/** From fewer pixels nothing is found, and more add nothing. */
const [FEWEST, MOST] = [100, 8000];
/** So many levels of the same masters are remembered. */
const MOST_KEPT = 4;

/** The level of a line's sky and the noise of one of its pixels, in file units. */
export interface LineSky {
  readonly level: number;
  readonly noise: number;
}

/**
 * The gain on chroma of settled numbers with what the recipe leaves to be found: where it begins, and how large it is.
 * @param sky of each settled channel
 * @param measured what was measured of the masters: it stands for them
 * @param small copies of the channels that the numbers need, their spots filled
 */
export const foundChroma = async (
  recipe: Pick<Recipe, 'finish'>,
  settled: Settled,
  sky: readonly LineSky[],
  measured: object,
  small: () => Promise<readonly Channel[]>,
): Promise<{ readonly chroma: ChromaGain; readonly fault?: string }> => {
  const placed = asksForSky(recipe) ? aboveSky(recipe, settled, sky) : settled.finish!.chroma!;
  if (!asksForGain(recipe)) return { chroma: placed };
  const pixels = await keptPixels(measured, settled, small);
  if (pixels === undefined) {
    const fault =
      'hardly a pixel of these masters shows all lines without stars: no gain on chroma is found, it stays 1';
    return { chroma: placed, fault };
  }
  const gain = findGain({ ...settled, finish: { ...settled.finish, chroma: placed } }, pixels);
  return { chroma: { ...placed, gain } };
};

/** How many times its noise above the sky a gain on chroma begins. */
const ABOVE_SKY = 2;

const aboveSky = ({ finish }: Pick<Recipe, 'finish'>, settled: Settled, sky: readonly LineSky[]): ChromaGain => {
  const wish = finish!.chroma;
  // Far finer than anybody sees, and short in a note.
  const from = Number(lightnessAboveSky(settled, sky).toFixed(4));
  return { ...settled.finish!.chroma!, from, to: endOf(from, typeof wish === 'object' ? wish.to : undefined) };
};

/** OKLab lightness of the sky and twice its noise, to first order. */
const lightnessAboveSky = ({ finish: _, ...settled }: Settled, sky: readonly LineSky[]): number => {
  const space = SPACES[settled.space];
  const pixel = pixelFunction(settled);
  const rgb = new Float64Array(3);
  const lightness = (values: readonly number[]): number => {
    pixel(values, rgb);
    for (let b = 0; b < 3; b++) rgb[b] = space.decode(rgb[b]!);
    rgbToOklab(rgb, 0, space, rgb, 0);
    return rgb[0]!;
  };
  const levels = sky.map(({ level }) => level);
  const along = sky.map(({ noise }, c) => {
    const at = (sign: number) => lightness(levels.map((level, i) => (i === c ? level + sign * noise : level)));
    return (at(1) - at(-1)) / 2;
  });
  return lightness(levels) + ABOVE_SKY * Math.hypot(...along);
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
  for (const { source } of preparedChannels(withoutSpots(withStars), channels))
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
  return findAutoGain(colours, settled.finish!, SPACES[settled.space]);
};
