import { createCounter } from '../../measure/counter.ts';
import type { Block, BlockLimits } from '../../plane/block-grid.ts';
import { eachMarked } from '../../plane/mask.ts';
import type { Samples } from '../../plane/plane.ts';
import { isWide, samplesFor } from '../../plane/strips.ts';
import { blockRowMeasurer } from '../../prepare/background/blocks.ts';
import { type BandInput, rowFiller } from '../../render/band-input.ts';
import { openInput } from '../../render/open-input.ts';
import { openedFiles } from './opened-files.ts';
import { eachPart, type RowJob, type RowRunner, unwantedOf } from './row-job.ts';

/** Measuring the blocks of one master; a piece holds whole rows of blocks. Plain data. */
export interface BlockJob extends RowJob, BlockLimits {
  /** Side of a block. */
  readonly size: number;
}

/** The blocks of one row of them. */
export interface BlockRow {
  readonly y: number;
  readonly blocks: readonly Block[];
}

/** One thread's share in measuring blocks. */
export const createBlockRunner = async (
  job: BlockJob,
  goesOn: () => boolean,
): Promise<RowRunner<{ readonly blocks: readonly BlockRow[] }>> => {
  const { size, mask, include, exclude } = job;
  const files = openedFiles();
  try {
    // Kernels decode to float32.
    const input = await openInput(job.origin, !isWide(job), files);
    const unwanted = unwantedOf(mask, input);
    const rowsOf = 'stored' in input ? decodedRows(job, input) : plainRows(job, input.source);
    const measure = blockRowMeasurer(job, { include, exclude });
    const found: BlockRow[] = [];
    const look = async (y: number, rows: number): Promise<void> => {
      const band = await rowsOf.read(y, rows);
      if (unwanted)
        eachMarked(unwanted, y, rows, (index) => {
          band[index] = Number.NaN;
        });
      found.push({ y, blocks: measure(band, y, rows) });
    };
    return {
      run: (piece, rest) => eachPart(job, piece, size, look, goesOn, rest),
      result: () => ({ blocks: found }),
      close() {
        rowsOf.release();
        files.close();
      },
    };
  } catch (cause) {
    files.close();
    throw cause;
  }
};

/** Physical values of rows, top first; valid until the next call. */
interface PhysicalRows {
  read(y: number, rows: number): Promise<Samples>;
  release(): void;
}

const plainRows = ({ width, height, size }: BlockJob, source: Extract<BandInput, { source: unknown }>['source']) => {
  const band = samplesFor(source, width * Math.min(size, height));
  const read: PhysicalRows['read'] = async (y, rows) => {
    await source.readRows(y, rows, band);
    return band;
  };
  return { read, release() {} };
};

const decodedRows = ({ width, height, size }: BlockJob, input: Extract<BandInput, { stored: unknown }>) => {
  const { form } = input.stored;
  const kernel = createCounter({ form, pedestal: 0, most: width * Math.min(size, height), bins: [], decodes: true });
  const fill = rowFiller(input, kernel.samples, (row, ...line) => kernel.flatten(row * width, width, ...line));
  const read: PhysicalRows['read'] = async (y, rows) => {
    const filled = fill(y, rows);
    if (filled) await filled;
    const band = kernel.decode(rows * width);
    if (form.bottomUp) turnOver(band, width, rows);
    return band;
  };
  return { read, release: kernel.release };
};

/** Puts the last of some rows first. */
const turnOver = (band: Float32Array, width: number, rows: number): void => {
  for (let top = 0, bottom = rows - 1; top < bottom; top++, bottom--) {
    const row = band.slice(top * width, (top + 1) * width);
    band.copyWithin(top * width, bottom * width, (bottom + 1) * width);
    band.set(row, bottom * width);
  }
};
