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
export const shrink = async (source: PlaneSource, longest: number, options: StripOptions = {}): Promise<Plane> => {
  const { width, height } = shrunkSize(source.width, source.height, longest);
  const sums = new Float64Array(width * height);
  const counts = new Uint32Array(width * height);
  const column = Int32Array.from({ length: source.width }, (_, x) => Math.floor(((x + 0.5) * width) / source.width));
  const add = (data: Samples, y: number, rows: number) => {
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
  };
  await eachStrip(source, add, options);
  const data = new Float32Array(width * height);
  for (let i = 0; i < data.length; i++) data[i] = counts[i]! > 0 ? sums[i]! / counts[i]! : Number.NaN;
  return { width, height, data };
};
