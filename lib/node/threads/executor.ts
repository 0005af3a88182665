import { canCountFast } from '../../measure/count-kernel.ts';
import type { BlockLimits } from '../../plane/block-grid.ts';
import type { CountRequest } from '../../plane/counting.ts';
import type { Executor } from '../../plane/executor.ts';
import { type Mask, uniteMasks } from '../../plane/mask.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { isWide, stripRows } from '../../plane/strips.ts';
import { blockSize } from '../../prepare/background/blocks.ts';
import { type StoredRows, storedRows } from '../../render/stored-rows.ts';
import type { BlockJob } from './block-job.ts';
import type { CountJob } from './count-job.ts';
import { type Pool, withPool } from './pool.ts';

/** Work that as many threads as there are processors help with; they end with it. */
export const withExecutor = <T>(
  signal: AbortSignal | undefined,
  work: (executor: Executor) => Promise<T>,
): Promise<T> => withPool(undefined, (pool) => work(poolExecutor(pool, signal)));

/** What all threads of a pool do together where rows lie uncompressed in files. */
export const poolExecutor = (pool: Pool, signal: AbortSignal | undefined): Executor => ({
  count(request, progress) {
    const counts = countJob(request);
    if (counts === undefined) return undefined;
    const { width, height } = request.source;
    const pass = (bins: readonly number[]) =>
      pool.do({ hashes: [], counts: { ...counts, bins } }, width * height, { signal, progress });
    return {
      upper: async () => (await pass([])).upper!,
      lower: async (bins) => (await pass(bins)).lower!,
    };
  },
  blocks(source, limits, progress) {
    const blocks = blockJob(source, limits);
    if (blocks === undefined) return undefined;
    const { width, height } = source;
    return pool.do({ hashes: [], blocks }, width * height, { signal, progress }).then((share) => ({
      width,
      height,
      size: blocks.size,
      blocks: share.blocks!.toSorted((a, b) => a.row - b.row).flatMap((row) => row.blocks),
    }));
  },
});

/** Rows that kernels can read, with the pixels that count nowhere. */
const rowsOf = (source: PlaneSource, mask: Mask | undefined): { rows: StoredRows; mask?: Mask } | undefined => {
  const rows = storedRows(source.origin);
  if (rows === undefined || !canCountFast()) return undefined;
  const unwanted = mask && rows.hidden ? uniteMasks(mask, rows.hidden) : (mask ?? rows.hidden);
  return { rows: { ...rows, hidden: undefined }, ...(unwanted && { mask: unwanted }) };
};

const countJob = ({ source, mask, pedestal }: CountRequest): Omit<CountJob, 'bins'> | undefined => {
  const found = rowsOf(source, mask);
  // Integers have no number to stand for pixels that do not count, and wide ones are not decoded before they are counted.
  if (found?.mask && isWide(source) && !found.rows.form.type.startsWith('f')) return undefined;
  return found && { ...found, pedestal, stripRows: stripRows(source.width) };
};

const blockJob = (source: PlaneSource, { mask, include, exclude }: BlockLimits): BlockJob | undefined => {
  const found = isWide(source) ? undefined : rowsOf(source, mask);
  return found && { ...found, include, exclude, size: blockSize(source.width, source.height) };
};
