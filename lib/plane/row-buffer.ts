import type { PlaneSource, Samples } from './plane.ts';
import { samplesFor } from './strips.ts';

/**
 * Buffers for the rows of a source that lies behind another: kept from call to call, never shared by two calls that
 * run at the same time.
 */
export const rowBuffer = (source: PlaneSource) => {
  let idle: Samples | undefined;
  return {
    /** Rows [y, y + rows) of the source, given to `use` and valid until it returns. */
    async read(y: number, rows: number, use: (data: Samples) => void): Promise<void> {
      const need = rows * source.width;
      const data = idle !== undefined && idle.length >= need ? idle : samplesFor(source, need);
      idle = undefined;
      await source.readRows(y, rows, data);
      use(data.subarray(0, need));
      idle = data;
    },
  };
};
