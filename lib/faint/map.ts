import { createMask, type Mask, mark } from '../plane/mask.ts';
import { type Bins, FIRST_SIZE, halved } from './bins.ts';
import { blobsOf } from './blobs.ts';
import { type Ground, type Octave, octaveOf, scaleOf, type Threshold } from './octave.ts';
import { scalesUpTo } from './scales.ts';
import { BRIGHT, type FarSquares, farFromSky } from './sky.ts';
import { thresholdFor } from './threshold.ts';
import { widened } from './widen.ts';

/** What is asked of a map. */
export interface MapWish {
  /** Blobs that noise alone may make in the whole frame, over all scales. */
  readonly falseBlobs: number;
  /** The largest scale in pixels, a power of two from 4 on. */
  readonly largest: number;
  /** Part of the light that flats leave uncorrected, by scale. */
  readonly flats: (scale: number) => number;
}

/** What was found at one scale. */
export interface ScaleReport extends Threshold {
  /** Share of the frame that is known. */
  readonly known: number;
  /** Blobs that are brighter, and that are darker than what lies around them. */
  readonly bright: number;
  readonly dark: number;
  /** The same, of those that lie in the sky, two scales from anything bright: alike where light is uneven. */
  readonly sky: { readonly bright: number; readonly dark: number };
  /** The least difference that would be seen, in units of the line. */
  readonly least: number;
}

/** How far each place stands out from what lies around it, over scales. On a grid of bins of 2 pixels. */
export interface FaintMap {
  readonly width: number;
  readonly height: number;
  /** The largest z/u of all scales; NaN where none is known. 1 and more does not come from noise or flats. */
  readonly ratio: Float32Array;
  /** Which of `scales` it is. */
  readonly scale: Uint8Array;
  /** Where −z/u of some scale is above 1: darker than what lies around. */
  readonly dark: Mask;
  readonly scales: readonly ScaleReport[];
}

/** A scale is looked at where so many of its bins are known. */
const FEWEST = 50;

/** Maps what stands out of bins whose stars are masked. */
export const mapFaint = (first: Bins, ground: Ground, wish: MapWish): FaintMap => {
  const { width, height } = first;
  const map = {
    width,
    height,
    ratio: new Float32Array(width * height).fill(Number.NaN),
    scale: new Uint8Array(width * height),
    dark: createMask(width, height),
  };
  const all = scalesUpTo(wish.largest);
  const far = farFromSky(first, ground.light > 0 ? BRIGHT * ground.light : Number.POSITIVE_INFINITY);
  const scales: ScaleReport[] = [];
  let bins = first;
  for (const scale of all) {
    if (scale > 2 * bins.size) bins = halved(bins);
    const unevenness = wish.flats(scale) * Math.abs(ground.light);
    const octave = octaveOf(bins, ground, unevenness);
    const threshold = { scale, u: thresholdFor(wish.falseBlobs / all.length, octave.known), unevenness };
    scales.push(reportOf(octave, threshold, far));
    if (octave.known >= FEWEST) addOctave(octave, threshold, scales.length - 1, map);
  }
  return { ...map, scales };
};

const reportOf = (octave: Octave, threshold: Threshold, far: FarSquares): ScaleReport => {
  const { width, height, z, known, noise } = octave;
  const near = widened(far, Math.ceil((2 * threshold.scale) / far.size));
  const isSky = (i: number) => near[squareOf(i, octave, far)] === 0;
  const enough = known >= FEWEST;
  const [bright, dark] = [1, -1].map((sign) => {
    const blobs = blobsOf(width, height, (i) => enough && sign * z[i]! > threshold.u);
    const elsewhere = new Set(blobs.runs.filter(({ y, from }) => !isSky(y * width + from)).map(({ blob }) => blob));
    return { all: blobs.count, sky: blobs.count - elsewhere.size };
  }) as [Counts, Counts];
  return {
    ...threshold,
    known: known / (width * height),
    bright: bright.all,
    dark: dark.all,
    sky: { bright: bright.sky, dark: dark.sky },
    least: threshold.u * Math.hypot(noise, threshold.unevenness),
  };
};

interface Counts {
  readonly all: number;
  readonly sky: number;
}

/** The square that the middle of a bin lies in. */
const squareOf = (i: number, { width, size }: Octave, far: FarSquares): number => {
  const at = (bin: number) => Math.floor(((bin + 0.5) * size) / far.size);
  return Math.min(far.height - 1, at(Math.floor(i / width))) * far.width + Math.min(far.width - 1, at(i % width));
};

/** Brings an octave into the map, linearly between the centres of its bins where all four are known. */
const addOctave = (
  octave: Octave,
  threshold: Threshold,
  index: number,
  { width, height, ratio, scale, dark }: Pick<FaintMap, 'width' | 'height' | 'ratio' | 'scale' | 'dark'>,
): void => {
  const by = scaleOf(octave) / (2 * FIRST_SIZE);
  const values = octave.z;
  const perThreshold = 1 / threshold.u;
  const columns = placesBetween(width, octave.width, by);
  const rows = placesBetween(height, octave.height, by);
  for (let y = 0, at = 0; y < height; y++) {
    const [above, below] = [rows.low[y]! * octave.width, rows.high[y]! * octave.width];
    const q = rows.part[y]!;
    const nearest = q < 0.5 ? above : below;
    for (let x = 0; x < width; x++, at++) {
      const [left, right, p] = [columns.low[x]!, columns.high[x]!, columns.part[x]!];
      const top = values[above + left]! * (1 - p) + values[above + right]! * p;
      const foot = values[below + left]! * (1 - p) + values[below + right]! * p;
      let value = top * (1 - q) + foot * q;
      // Beside what is unknown the nearest bin counts.
      if (Number.isNaN(value)) value = values[nearest + (p < 0.5 ? left : right)]!;
      if (Number.isNaN(value)) continue;
      value *= perThreshold;
      if (value < -1) mark(dark, x, y);
      if (ratio[at]! >= value) continue;
      ratio[at] = value;
      scale[at] = index;
    }
  }
};

/** For each of `count` places: the bins of `by` places each that it lies between, and how far it is on the way. */
const placesBetween = (count: number, bins: number, by: number) => {
  const at = Float64Array.from({ length: count }, (_, i) => Math.max(0, Math.min(bins - 1, (i + 0.5) / by - 0.5)));
  const low = Int32Array.from(at, Math.floor);
  return { low, high: low.map((of) => Math.min(bins - 1, of + 1)), part: at.map((value, i) => value - low[i]!) };
};
