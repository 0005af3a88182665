import { availableParallelism } from 'node:os';
import { LinewashError, throwIfCancelled } from '../../plane/errors.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { type Turn, turns } from '../../plane/turns.ts';
import {
  joinResults,
  NEXT,
  type PoolJob,
  type PoolResult,
  pieceCount,
  STOPPED,
  sharedNumbers,
  shutOut,
  takePieces,
} from './pool-job.ts';
import { type PoolThread, takeThread } from './pool-thread.ts';

/** A job that other threads may be at already. */
export interface PoolTask {
  /**
   * Takes the pieces that are left, and waits for the threads that are at work on others; once only. The rest of the
   * program goes on between pieces.
   * @throws LinewashError 'cancelled', or the first error of any thread, after all threads have stopped.
   */
  finish(options?: StripOptions): Promise<PoolResult>;
}

/** Threads that do jobs together, this one among them; the others start with the first job that is worth it. */
export interface Pool {
  /**
   * Lets the other threads begin a job. `pixels` says how large it is: small ones wait for `finish`.
   * @throws LinewashError 'cancelled' once the work that the pool was for has ended
   */
  begin(job: PoolJob, pixels: number): PoolTask;
  /** Begins and finishes a job. */
  do(job: PoolJob, pixels: number, options?: StripOptions): Promise<PoolResult>;
}

/** More threads than this wait for memory rather than for arithmetic. */
const MOST_THREADS = 16;

const WORTH_THREADS = 1 << 20;

/** Worker threads run built files only: Node does not read TypeScript. */
const built = import.meta.url.endsWith('.js');

/**
 * Does work with a pool that lives as long as the work: it ends with it, however that ends. What the work began and did
 * not wait for stops then, and no further thread starts: a branch that outlives the work cannot keep the program alive.
 * @param wish threads that work at the same time; as many as there are processors where absent
 */
export const withPool = async <T>(wish: number | undefined, work: (pool: Pool) => Promise<T>): Promise<T> => {
  const { pool, close } = createPool(wish);
  try {
    return await work(pool);
  } finally {
    await close();
  }
};

const createPool = (wish?: number): { readonly pool: Pool; close(): Promise<void> } => {
  const threads = Math.max(1, Math.min(MOST_THREADS, wish ?? availableParallelism()));
  const helpers: PoolThread[] = [];
  const jobs = new Set<Int32Array>();
  let closed = false;
  const throwIfClosed = () => {
    if (closed) throw new LinewashError({ tag: 'cancelled', message: 'the work that this belongs to has ended' });
  };
  const helpersUpTo = (count: number): readonly PoolThread[] => {
    try {
      while (helpers.length < count) helpers.push(takeThread());
    } catch {
      // A thread that the system does not give is not missed: the others do its share.
    }
    return helpers.slice(0, count);
  };
  const turn = turns();
  const begin = (job: PoolJob, pixels: number): PoolTask => {
    throwIfClosed();
    const most = built && pixels >= WORTH_THREADS ? Math.min(threads - 1, pieceCount(job)) : 0;
    const shared = sharedNumbers(most);
    jobs.add(shared);
    const others = helpersUpTo(most).map((helper, i) => helper.handOver(job, shared, i));
    return {
      async finish(options = {}) {
        const result = await finish(job, shared, others, { ...options, turn }).finally(() => jobs.delete(shared));
        // What was stopped is not whole.
        throwIfClosed();
        return result;
      },
    };
  };
  const pool: Pool = {
    begin,
    async do(job, pixels, options = {}) {
      throwIfCancelled(options.signal);
      return begin(job, pixels).finish(options);
    },
  };
  return {
    pool,
    async close() {
      closed = true;
      for (const shared of jobs) Atomics.store(shared, STOPPED, 1);
      await Promise.all(helpers.splice(0).map((helper) => helper.dismiss()));
    },
  };
};

const finish = async (
  job: PoolJob,
  shared: Int32Array,
  others: readonly Promise<PoolResult>[],
  options: StripOptions & { readonly turn: Turn },
): Promise<PoolResult> => {
  const { signal, turn } = options;
  const stop = () => void Atomics.store(shared, STOPPED, 1);
  if (signal?.aborted) stop();
  signal?.addEventListener('abort', stop, { once: true });
  // A thread that ended without a word would be waited for.
  for (const other of others) other.catch(stop);
  const own = await Promise.allSettled([turn(() => takePieces(job, shared, breather(job, shared, options)))]);
  const inside = others.filter((_, helper) => !shutOut(shared, helper));
  const results = [...own, ...(await Promise.allSettled(inside))];
  signal?.removeEventListener('abort', stop);
  throwIfCancelled(signal);
  const failed = results.find((r) => r.status === 'rejected');
  if (failed !== undefined) throw failed.reason;
  return joinResults(results.map((r) => (r as PromiseFulfilledResult<PoolResult>).value));
};

/** The rest of the program waits no longer than this, in ms: pictures are sent to the disk by it. */
const BREATH = 4;

/** Reports progress, and lets the rest of the program run for a moment where it has waited for long. */
const breather = (job: PoolJob, shared: Int32Array, { progress }: StripOptions) => {
  const pieces = pieceCount(job);
  let paused = performance.now();
  return (): Promise<void> | undefined => {
    progress?.(Math.min(1, Atomics.load(shared, NEXT) / pieces));
    if (performance.now() - paused < BREATH) return undefined;
    return new Promise((resolve) => {
      setImmediate(() => {
        paused = performance.now();
        resolve();
      });
    });
  };
};
