import type { Plane, PlaneSource, Samples } from '../plane/plane.ts';
import { eachStrip, type StripOptions } from '../plane/strips.ts';

/** The size to which `shrink` brings a picture so that its longer side is at most `longest`. */
export const shrunkSize = (width: number, height: number, longest: number): { width: number; height: number } => {
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
  const levels = longest.map((side) => meansOf(source, shrunkSize(source.width, source.height, side)));
  const add = (data: Samples, y: number, rows: number) => {
    for (const level of levels) level.add(data, y, rows);
  };
  await eachStrip(source, add, options);
  return levels.map((level) => level.plane());
};

/** Collects the means of one smaller copy. */
const meansOf = (source: PlaneSource, { width, height }: { width: number; height: number }) => {
  const sums = new Float64Array(width * height);
  const counts = new Uint32Array(width * height);
  const column = Int32Array.from({ length: source.width }, (_, x) => Math.floor(((x + 0.5) * width) / source.width));
  return {
    add(data: Samples, y: number, rows: number): void {
      for (let r = 0; r < rows; r++) {
        const base = Math.floor(((y + r + 0.5) * height) / source.height) * width;
        for (let x = 0, i = r * source.width; x < source.width; x++, i++) {
          const v = data[i]!;
          if (v - v !== 0) continue;
          const at = base + column[x]!;
          sums[at]! += v;
          counts[at]!++;
        }
      }
    },
    plane(): Plane {
      const data = new Float32Array(width * height);
      for (let i = 0; i < data.length; i++) data[i] = counts[i]! > 0 ? sums[i]! / counts[i]! : Number.NaN;
      return { width, height, data };
    },
  };
};
