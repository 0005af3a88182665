import type { PlaneSource } from '../../plane/plane.ts';
import type { CheckSizes } from '../sizes.ts';

/** Rows above and below that the smallest details need: the wider of the two differences reaches so far. */
export const MARGIN = 14;

/** Rows of one line with what lies around them; NaN where undefined or outside the frame. */
export interface LineRows {
  readonly width: number;
  /** Row of the frame that the first of `data` is, which may lie above the frame. */
  readonly first: number;
  readonly data: Float32Array;
  /** Rows [top, bottom) of the frame are those that are looked at. */
  readonly top: number;
  readonly bottom: number;
}

/** Where a pixel of the frame lies in the data. */
export const indexIn = ({ width, first }: LineRows, x: number, y: number): number => (y - first) * width + x;

/** Reads the rows of one piece of the work. */
export const readPiece = async (
  source: PlaneSource,
  { width, height, rows }: CheckSizes,
  piece: number,
  into: Float32Array,
): Promise<LineRows> => {
  const top = piece * rows;
  const bottom = Math.min(height, top + rows);
  const first = top - MARGIN;
  const from = Math.max(0, first);
  const to = Math.min(height, bottom + MARGIN);
  const data = into.subarray(0, (bottom - top + 2 * MARGIN) * width);
  const read = data.subarray((from - first) * width, (to - first) * width);
  await source.readRows(from, to - from, read);
  for (let i = 0; i < read.length; i++) if (!Number.isFinite(read[i]!)) read[i] = Number.NaN;
  data.fill(Number.NaN, 0, (from - first) * width);
  data.fill(Number.NaN, (to - first) * width);
  return { width, first, data, top, bottom };
};
