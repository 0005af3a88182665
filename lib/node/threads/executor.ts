import { canCountFast } from '../../measure/count-kernel.ts';
import type { Executor } from '../../plane/executor.ts';
import type { Mask } from '../../plane/mask.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { blockSize } from '../../prepare/background/blocks.ts';
import { pieceRows } from '../../render/picture.ts';
import { type Pool, withPool } from './pool.ts';
import type { RowJob } from './row-job.ts';

/** Work that as many threads as there are processors help with; they end with it. */
export const withExecutor = <T>(
  signal: AbortSignal | undefined,
  work: (executor: Executor) => Promise<T>,
): Promise<T> => withPool(undefined, (pool) => work(poolExecutor(pool, signal)));

/** What all threads of a pool do together: measuring masters of any origin. */
export const poolExecutor = (pool: Pool, signal: AbortSignal | undefined): Executor => ({
  count({ source, mask, pedestal }, progress) {
    const rows = rowJob(source, mask);
    if (rows === undefined) return undefined;
    const { width, height } = source;
    const pass = (bins: readonly number[]) =>
      pool.do({ hashes: [], counts: { ...rows, pedestal, bins } }, width * height, { signal, progress });
    return {
      upper: async () => (await pass([])).upper!,
      lower: async (bins) => (await pass(bins)).lower!,
    };
  },
  pieces({ kind, sources, question, pieces }, progress) {
    const origins = sources.flatMap(({ origin }) => origin ?? []);
    if (origins.length < sources.length) return undefined;
    const { width, height } = sources[0]!;
    const job = { hashes: [], pieces: { kind, origins, question, pieces } };
    return pool
      .do(job, sources.length * width * height, { signal, progress })
      .then(({ found }) => found!.toSorted((a, b) => a.piece - b.piece).map(({ numbers }) => numbers));
  },
  async places(pictures, bytes) {
    const { places } = await pool.do({ hashes: [], places: pictures }, bytes, { signal });
    return pictures.map((_, i) => places!.find(({ piece }) => piece === i)?.seekPoints);
  },
  blocks(source, { mask, include, exclude }, progress) {
    const { width, height } = source;
    const size = blockSize(width, height);
    const rows = rowJob(source, mask, size);
    if (rows === undefined) return undefined;
    const blocks = { ...rows, include, exclude, size };
    return pool.do({ hashes: [], blocks }, width * height, { signal, progress }).then((result) => ({
      width,
      height,
      size,
      blocks: result.blocks!.toSorted((a, b) => a.y - b.y).flatMap((row) => row.blocks),
    }));
  },
});

/** Undefined for sources that other threads cannot open, and where no kernel counts. @param each pieces hold a multiple of so many rows */
const rowJob = (
  { origin, width, height, type, rowsTogether }: PlaneSource,
  mask?: Mask,
  each = 1,
): RowJob | undefined => {
  if (origin === undefined || !canCountFast()) return undefined;
  const rows = pieceRows({ origin, width, height, rowsTogether });
  return { origin, width, height, type, mask, pieceRows: each * Math.ceil(rows / each) };
};
