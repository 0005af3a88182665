import { throwIfCancelled } from './errors.ts';
import type { Plane, PlaneSource, Samples } from './plane.ts';
import { eachStrip, type StripOptions, samplesFor } from './strips.ts';

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** The size to which `shrink` brings a picture so that its longer side is at most `longest`. */
export const shrunkSize = (width: number, height: number, longest: number): Size => {
  const scale = Math.min(1, longest / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
};

/**
 * A smaller copy by area mean: each small pixel is the mean of the defined pixels whose centres fall into it, undefined
 * where there is none. Streams the source once; returns it pixel for pixel where it is small enough already.
 */
export const shrink = async (source: PlaneSource, longest: number, options: StripOptions = {}): Promise<Plane> =>
  (await shrinkTo(source, [longest], options))[0]!;

/** Several smaller copies from one look at the source: a pyramid for a page that shows it in several sizes. */
export const shrinkTo = async (
  source: PlaneSource,
  longest: readonly number[],
  options: StripOptions = {},
): Promise<Plane[]> => {
  const levels = longest.map((side) => collectMeans(source, shrunkSize(source.width, source.height, side)));
  const add = (data: Samples, y: number, rows: number) => {
    for (const level of levels) level.add(data, y, rows);
  };
  await eachStrip(source, add, options);
  return levels.map((level) => level.plane());
};

/** Smaller copies of several sources of one size, band by band: what they share is computed once for all of them. */
export const shrinkTogether = async (
  sources: readonly PlaneSource[],
  longest: number,
  rows: number,
  { signal, progress }: StripOptions = {},
): Promise<Plane[]> => {
  const { width, height } = sources[0]!;
  const means = sources.map((source) => collectMeans(source, shrunkSize(width, height, longest)));
  const buffers = sources.map((source) => samplesFor(source, Math.min(rows, height) * width));
  for (let y = 0; y < height; y += rows) {
    throwIfCancelled(signal);
    const some = Math.min(rows, height - y);
    for (const [k, source] of sources.entries()) {
      await source.readRows(y, some, buffers[k]!);
      means[k]!.add(buffers[k]!.subarray(0, some * width), y, some);
    }
    progress?.((y + some) / height);
  }
  return means.map((level) => level.plane());
};

/** The first of `large` rows (or columns) that falls into each of `small` ones, and `large` at the end. */
export const firstOfEach = (small: number, large: number): Int32Array => {
  const first = new Int32Array(small + 1).fill(-1);
  first[small] = large;
  for (let i = large - 1; i >= 0; i--) first[Math.floor(((i + 0.5) * small) / large)] = i;
  return first;
};

/**
 * Collects the means of the small rows [from, to); all of them where absent. Whoever shares the work of one picture
 * gets the same numbers however it is shared, as long as each small row is collected in one place.
 */
export const collectMeans = (source: Size, { width, height }: Size, from = 0, to = height) => {
  const sums = new Float64Array(width * (to - from));
  const counts = new Uint32Array(sums.length);
  const firstColumn = firstOfEach(width, source.width);
  return {
    /** Takes whole rows [y, y + rows) of the source. */
    add(data: Samples, y: number, rows: number): void {
      for (let r = 0; r < rows; r++) {
        const smallRow = Math.floor(((y + r + 0.5) * height) / source.height);
        const base = (smallRow - from) * width;
        const row = r * source.width;
        for (let column = 0; column < width; column++)
          addRun(data, row + firstColumn[column]!, row + firstColumn[column + 1]!, base + column);
      }
    },
    plane(): Plane {
      const data = new Float32Array(sums.length);
      for (let i = 0; i < data.length; i++) data[i] = counts[i]! > 0 ? sums[i]! / counts[i]! : Number.NaN;
      return { width, height: to - from, data };
    },
  };

  function addRun(data: Samples, start: number, end: number, at: number): void {
    let sum = 0;
    for (let i = start; i < end; i++) sum += data[i]!;
    if (sum - sum === 0) {
      sums[at]! += sum;
      counts[at]! += end - start;
      return;
    }
    for (let i = start; i < end; i++) {
      if (data[i]! - data[i]! !== 0) continue;
      sums[at]! += data[i]!;
      counts[at]!++;
    }
  }
};
