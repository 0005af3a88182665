import { throwIfCancelled } from '../../plane/errors.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { rowBuffer } from '../../plane/row-buffer.ts';
import type { StripOptions } from '../../plane/strips.ts';

/** Rows around a patch that filters may look at. */
export const HALO = 32;
/** Rows of a patch: two blocks of 32. */
const ROWS = 64;
/** Pixels of all patches and masters together. */
const BUDGET = 1 << 21;

/** The same rows of several masters, as wide as the picture, less a level of each. Undefined pixels are NaN. */
export interface Patch {
  readonly width: number;
  /** Rows of the patch without those around it. */
  readonly rows: number;
  /** One of `rows + 2·HALO` rows for each master; rows beyond the frame mirror those inside. */
  readonly planes: readonly Float32Array[];
}

/**
 * Patches spread evenly over masters of one size: all of a small picture, some four million values of a large one.
 * @param levels taken off each master, so that float32 holds what differs
 */
export const readPatches = async (
  sources: readonly PlaneSource[],
  levels: readonly number[],
  { signal, progress }: StripOptions = {},
): Promise<Patch[]> => {
  const { width, height } = sources[0]!;
  const rows = Math.min(ROWS, height);
  const most = Math.max(1, Math.floor(BUDGET / (rows * width * sources.length)));
  const count = Math.min(Math.floor(height / rows), most);
  const buffers = sources.map(rowBuffer);
  const patches: Patch[] = [];
  for (let k = 0; k < count; k++) {
    throwIfCancelled(signal);
    const y = Math.floor(((k + 0.5) * height) / count - rows / 2);
    const planes: Float32Array[] = [];
    for (const [i, buffer] of buffers.entries())
      planes.push(await readMirrored(buffer, levels[i]!, sources[i]!, y, rows));
    patches.push({ width, rows, planes });
    progress?.((k + 1) / count);
  }
  return patches;
};

const readMirrored = async (
  buffer: ReturnType<typeof rowBuffer>,
  level: number,
  { width, height }: PlaneSource,
  y: number,
  rows: number,
): Promise<Float32Array> => {
  const plane = new Float32Array((rows + 2 * HALO) * width);
  const top = Math.max(0, y - HALO);
  const bottom = Math.min(height, y + rows + HALO);
  await buffer.read(top, bottom - top, (data) => {
    for (let r = 0; r < rows + 2 * HALO; r++) {
      const from = (mirrored(y - HALO + r, top, bottom) - top) * width;
      const into = r * width;
      for (let x = 0; x < width; x++) {
        const value = data[from + x]! - level;
        plane[into + x] = value - value === 0 ? value : Number.NaN;
      }
    }
  });
  return plane;
};

/** The row inside [top, bottom) that one outside mirrors about the edge. */
const mirrored = (y: number, top: number, bottom: number): number => {
  const period = 2 * (bottom - top);
  const within = (((y - top) % period) + period) % period;
  return top + (within < bottom - top ? within : period - 1 - within);
};
