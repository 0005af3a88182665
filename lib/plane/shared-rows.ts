import type { Samples } from './plane.ts';
import { turns } from './turns.ts';

/** Computes rows [y, y + rows) of several sources at once. */
export type ComputeRows = (y: number, rows: number) => Promise<readonly Samples[]>;

/** Brings rows [y, y + rows) of one of them to `into`. */
export type ReadShared = (which: number, y: number, rows: number, into: Samples) => Promise<void>;

/**
 * Sources that are computed together: reading the same rows of one after the other costs as much as reading one. Where few
 * rows are asked for, those after them are computed too.
 * Reads wait for one another: what was computed may lie in memory that the next computation uses.
 * @param whole rows from which on most of the work is not done again for the next
 */
export const sharedRows = (
  { width, height }: { readonly width: number; readonly height: number },
  whole: number,
  compute: ComputeRows,
): ReadShared => {
  let last: { readonly y: number; readonly rows: number; readonly data: ReturnType<ComputeRows> } | undefined;
  const rowsAt = (y: number, rows: number) => {
    if (last !== undefined && y >= last.y && y + rows <= last.y + last.rows) return last;
    // A single row is looked at alone.
    const count = rows === 1 || 2 * rows >= whole ? rows : Math.min(whole, height - y);
    const made = { y, rows: count, data: compute(y, count) };
    made.data.catch(() => {
      if (last === made) last = undefined;
    });
    last = made;
    return made;
  };
  const turn = turns();
  return (which, y, rows, into) =>
    turn(async () => {
      const known = rowsAt(y, rows);
      const data = (await known.data)[which]!;
      into.set(data.subarray((y - known.y) * width, (y - known.y + rows) * width));
    });
};
