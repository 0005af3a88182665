import { drawStack, noiseOf, sceneTruth } from '../../../samples/scene/index.ts';
import type { Planes, Size } from './pictures.ts';

/** A draw of the sample scene, and what is known of it. */
export interface Scene extends Size {
  /** The expected values, the draw, and the light of the nebula and of stars alone, by line. */
  readonly truth: Planes;
  readonly drawn: Planes;
  readonly nebula: Planes;
  readonly stars: Planes;
  /** Noise of a pixel of even sky, and of each pixel. */
  readonly skyNoise: readonly number[];
  readonly noise: Planes;
}

export interface Draw {
  readonly seed: number;
  readonly noiseSeed: number;
  /** Subs of S, H and O. */
  readonly subs: readonly [S: number, H: number, O: number];
  readonly width?: number;
  readonly height?: number;
  readonly stars?: boolean;
}

const SUBS_AN_HOUR = 9;

export const drawScene = ({ seed, noiseSeed, subs, width = 1200, height = 800, stars = true }: Draw): Scene => {
  const [S, H, O] = subs.map((count) => count / SUBS_AN_HOUR) as [number, number, number];
  const lines = Object.values(sceneTruth({ seed, width, height, hours: { S, H, O }, coverage: false, stars }));
  return {
    width,
    height,
    truth: lines.map(({ mean }) => mean),
    drawn: lines.map((line) => drawStack(line, noiseSeed)),
    nebula: lines.map(({ nebula }) => nebula),
    stars: lines.map(({ stars }) => stars),
    skyNoise: lines.map(({ sky, pedestal }, k) => noiseOf(sky + pedestal, subs[k]!)),
    noise: lines.map(({ mean }, k) => mean.map((value) => noiseOf(value, subs[k]!))),
  };
};

/** Places of the lines in planes. */
const [S, H, O] = [0, 1, 2];

/** The part of pixels that each region covers, as 1 and 0. */
export type Regions = Readonly<Record<'dark' | 'faint' | 'mid' | 'bright' | 'stars', Uint8Array>>;

/** How far around a pixel with a star's light it still counts as star. */
const AROUND = 4;

const grown = (marks: Uint8Array, { width, height }: Size): Uint8Array => {
  const out = new Uint8Array(marks.length);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      if (marks[y * width + x])
        for (let v = Math.max(0, y - AROUND); v <= Math.min(height - 1, y + AROUND); v++)
          out.fill(1, v * width + Math.max(0, x - AROUND), v * width + Math.min(width, x + AROUND + 1));
  return out;
};

/** Regions by the larger signal over noise of the two weak lines' nebula; stars by their light in H and O. */
export const regionsOf = ({ nebula, stars, skyNoise, ...size }: Scene): Regions => {
  const bright = stars[H]!.map((light, i) => (light > 10 * skyNoise[H]! || stars[O]![i]! > 3 * skyNoise[O]! ? 1 : 0));
  const star = grown(Uint8Array.from(bright), size);
  const between = (from: number, to: number) =>
    star.map((is, i) => {
      const signal = Math.max(nebula[S]![i]! / skyNoise[S]!, nebula[O]![i]! / skyNoise[O]!);
      return !is && signal >= from && signal < to ? 1 : 0;
    });
  const infinity = Number.POSITIVE_INFINITY;
  return {
    dark: between(-infinity, 1),
    faint: between(1, 3),
    mid: between(3, 10),
    bright: between(20, infinity),
    stars: star,
  };
};
