import { createCounter } from '../../measure/counter.ts';
import type { Block, BlockLimits } from '../../plane/block-grid.ts';
import { eachMarked } from '../../plane/mask.ts';
import { blockRowMeasurer } from '../../prepare/background/blocks.ts';
import type { StoredRows } from '../../render/stored-rows.ts';
import { openStored, readStored } from './stored-reader.ts';

/** Measuring the blocks of one master, a row of blocks at a time. Plain data. */
export interface BlockJob extends BlockLimits {
  /** Of a type that float32 holds. */
  readonly rows: StoredRows;
  /** Side of a block. */
  readonly size: number;
}

/** The blocks of one row of them. */
export interface BlockRow {
  readonly row: number;
  readonly blocks: readonly Block[];
}

/** One thread's share in measuring blocks. */
export const createBlockRunner = ({ rows: source, size, ...limits }: BlockJob) => {
  const { form, width, height } = source;
  const kernel = createCounter({ form, pedestal: 0, most: width * Math.min(size, height), bins: [], decodes: true });
  const handle = openStored(source.picture);
  const measure = blockRowMeasurer({ width, height, type: form.physical }, limits);
  const found: BlockRow[] = [];
  return {
    run(row: number): void {
      const y = row * size;
      const rows = Math.min(size, height - y);
      readStored(handle, source, [y, rows], kernel.samples, (row, ...line) =>
        kernel.flatten(row * width, width, ...line),
      );
      const band = kernel.decode(rows * width);
      if (form.bottomUp) turnOver(band, width, rows);
      if (limits.mask)
        eachMarked(limits.mask, y, rows, (index) => {
          band[index] = Number.NaN;
        });
      found.push({ row, blocks: measure(band, y, rows) });
    },
    share: () => ({ blocks: found }),
    close(): void {
      kernel.release();
      handle.close();
    },
  };
};

/** Puts the last of some rows first. */
const turnOver = (band: Float32Array, width: number, rows: number): void => {
  for (let top = 0, bottom = rows - 1; top < bottom; top++, bottom--) {
    const row = band.slice(top * width, (top + 1) * width);
    band.copyWithin(top * width, bottom * width, (bottom + 1) * width);
    band.set(row, bottom * width);
  }
};
