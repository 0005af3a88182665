import { eachMarked, type Mask } from '../plane/mask.ts';
import { rowBuffer } from '../plane/row-buffer.ts';
import type { Part } from './combine.ts';

/** Reads which pixels of some rows are left out, and of which part. */
export type RejectedReader = (y: number, rows: number, visit: (index: number, part: number) => void) => Promise<void>;

/**
 * Tells what `combined` leaves out of its mean: pixels of a part that are defined and outliers, where another part is
 * defined and no outlier. Where all that are defined are outliers, none is left out.
 * Rows without outliers are not read. `visit` gets the index into rows [y, y + rows), in no particular order.
 */
export const rejectedReader = (parts: readonly Part[]): RejectedReader => {
  const buffers = parts.map(({ source }) => rowBuffer(source));
  return async (y, rows, visit) => {
    if (!parts.some(({ outliers }) => outliers && hasMarks(outliers.mask, y, rows))) return;
    const shown = new Uint8Array(rows * parts[0]!.source.width);
    const left: number[][] = parts.map(() => []);
    for (const [p, { scale, offset, outliers }] of parts.entries())
      await buffers[p]!.read(y, rows, (data) => {
        const isDefined = (index: number) => {
          const value = scale * data[index]! + offset;
          return value - value === 0;
        };
        const marked = new Uint8Array(outliers ? shown.length : 0);
        if (outliers)
          eachMarked(outliers.mask, y, rows, (index) => {
            marked[index] = 1;
            if (isDefined(index)) left[p]!.push(index);
          });
        for (let index = 0; index < shown.length; index++) if (!marked[index] && isDefined(index)) shown[index] = 1;
      });
    for (const [p, indices] of left.entries()) for (const index of indices) if (shown[index]) visit(index, p);
  };
};

const hasMarks = ({ stride, bits }: Mask, y: number, rows: number): boolean =>
  bits.subarray(y * stride, (y + rows) * stride).some((byte) => byte !== 0);
