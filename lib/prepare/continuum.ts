import { throwIfCancelled } from '../plane/errors.ts';
import { originAfter } from '../plane/origin.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { median } from '../plane/robust.ts';
import { rowBuffer } from '../plane/row-buffer.ts';
import { isWide, type StripOptions, samplesFor, stripRows } from '../plane/strips.ts';
import { robustLine } from './scale/line.ts';

/**
 * A line without the starlight that its filter lets through: x − k·(r − level), r a broadband or neighbouring picture
 * and `level` its background. Undefined where either is.
 */
export const lessContinuum = (line: PlaneSource, broad: PlaneSource, k: number, level: number): PlaneSource => {
  const buffer = rowBuffer(broad);
  return {
    ...line,
    type: isWide(line) ? 'f64' : 'f32',
    fullScale: undefined,
    raw: undefined,
    rowsTogether: Math.max(line.rowsTogether ?? 1, broad.rowsTogether ?? 1),
    ...originAfter(line.origin && broad.origin && line.origin, (of) => ({
      step: 'continuum',
      of,
      broad: broad.origin!,
      k,
      level,
    })),
    async readRows(y, rows, into) {
      await line.readRows(y, rows, into);
      await buffer.read(y, rows, (r) => {
        for (let i = 0; i < r.length; i++) into[i]! -= k * (r[i]! - level);
      });
    },
  };
};

/** Light of one star in both pictures, local background taken off. */
export interface StarLight {
  readonly line: number;
  readonly broad: number;
}

/** Radius of the square that a star's light is summed over, and of the frame around it that is its background. */
const APERTURE = 4;
const RING = 7;
/** A star's brightest pixel stands out of the background by so many times the noise of a pixel. */
const CLEAR = 12;
/** The brightest pixel of a usable star lies below this share of the brightest of the picture: others may be saturated. */
const UNSATURATED = 0.7;
const MOST_STARS = 2000;

/**
 * The stars of the broadband picture: local maxima that stand out and are not saturated, measured in both pictures.
 * Reads both once by overlapping strips.
 */
export const starLight = async (
  line: PlaneSource,
  broad: PlaneSource,
  field: { readonly level: number; readonly pixelNoise: number; readonly max: number },
  options: StripOptions = {},
): Promise<StarLight[]> => {
  const { width, height } = broad;
  const most = Math.max(4 * RING, stripRows(width)) + 2 * RING;
  const b = samplesFor(broad, Math.min(most, height) * width);
  const l = samplesFor(line, Math.min(most, height) * width);
  const low = field.level + CLEAR * field.pixelNoise;
  const high = field.level + UNSATURATED * (field.max - field.level);
  const stars: StarLight[] = [];
  for (let top = 0; top + 2 * RING < height; top += most - 2 * RING) {
    throwIfCancelled(options.signal);
    const rows = Math.min(most, height - top);
    await broad.readRows(top, rows, b);
    await line.readRows(top, rows, l);
    for (let y = RING; y < rows - RING; y++)
      for (let x = RING; x < width - RING; x++) {
        const i = y * width + x;
        if (!(b[i]! > low && b[i]! < high && isPeak(b, i, width))) continue;
        const star = { line: excess(l, i, width), broad: excess(b, i, width) };
        if (star.broad > 0 && Number.isFinite(star.line)) stars.push(star);
      }
  }
  return stars.sort((p, q) => q.broad - p.broad).slice(0, MOST_STARS);
};

const isPeak = (data: Samples, i: number, width: number): boolean => {
  for (let dy = -2; dy <= 2; dy++)
    for (let dx = -2; dx <= 2; dx++) {
      const other = data[i + dy * width + dx]!;
      if (!(other < data[i]! || (other === data[i] && dy * width + dx >= 0))) return false;
    }
  return true;
};

/** Sum over the square around a pixel, less its count times the median of the frame around it. NaN where one is. */
const excess = (data: Samples, i: number, width: number): number => {
  const ring: number[] = [];
  let sum = 0;
  for (let dy = -RING; dy <= RING; dy++)
    for (let dx = -RING; dx <= RING; dx++) {
      const value = data[i + dy * width + dx]!;
      const far = Math.max(Math.abs(dx), Math.abs(dy));
      if (far <= APERTURE) sum += value;
      else if (far === RING) ring.push(value);
    }
  // The median of the rest of a frame that ends in missing data would lie to one side.
  return ring.every(Number.isFinite) ? sum - (2 * APERTURE + 1) ** 2 * median(ring) : Number.NaN;
};

export interface ContinuumFit {
  readonly k: number;
  /** Stars that the fit rests on. */
  readonly stars: number;
}

const FEWEST_STARS = 8;

/** The share of broadband light in the line: slope of a robust line through the stars. Undefined for fewer than 8. */
export const fitContinuum = (stars: readonly StarLight[], noiseRatio = 1): ContinuumFit | undefined => {
  if (stars.length < FEWEST_STARS) return undefined;
  const { slope, count } = robustLine(
    stars.map((s) => s.broad),
    stars.map((s) => s.line),
    noiseRatio ** 2,
  );
  return Number.isFinite(slope) ? { k: slope, stars: count } : undefined;
};
