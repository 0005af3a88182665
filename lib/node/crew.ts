import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { LinewashError, throwIfCancelled } from '../plane/errors.ts';
import type { StripOptions } from '../plane/strips.ts';
import {
  type CrewJob,
  type CrewShare,
  doShare,
  joinShares,
  NEXT,
  type Outcome,
  pieceCount,
  STOPPED,
} from './crew-job.ts';

/** Threads that do jobs together, this one among them; the others start with the first job that is worth it. */
export interface Crew {
  /**
   * Does a job; other work of the program goes on between its pieces. `pixels` says how large it is: small jobs are
   * done before a second thread has started.
   * @throws LinewashError 'cancelled', or the first error of any thread, after all threads have stopped.
   */
  do(job: CrewJob, pixels: number, options?: StripOptions): Promise<CrewShare>;
  /** Ends the other threads. */
  close(): Promise<void>;
}

/** More threads than this wait for memory rather than for arithmetic. */
const MOST_THREADS = 16;

const WORTH_THREADS = 1 << 20;

/** Worker threads run built files only: Node does not read TypeScript. */
const built = import.meta.url.endsWith('.js');

/** @param wish threads that work at the same time; as many as there are processors where absent */
export const createCrew = (wish?: number): Crew => {
  const threads = Math.max(1, Math.min(MOST_THREADS, wish ?? availableParallelism()));
  const helpers: Worker[] = [];
  const hire = (count: number): readonly Worker[] => {
    while (helpers.length < count) helpers.push(new Worker(new URL('./crew-worker.js', import.meta.url)));
    return helpers.slice(0, count);
  };
  return {
    async do(job, pixels, options = {}) {
      throwIfCancelled(options.signal);
      const shared = new Int32Array(new SharedArrayBuffer(8));
      const stop = () => void Atomics.store(shared, STOPPED, 1);
      options.signal?.addEventListener('abort', stop, { once: true });
      const most = built && pixels >= WORTH_THREADS ? Math.min(threads, pieceCount(job)) - 1 : 0;
      const others = hire(Math.max(0, most)).map((worker) => handOver(worker, job, shared));
      const results = await Promise.allSettled([doShare(job, shared, breather(job, shared, options)), ...others]);
      options.signal?.removeEventListener('abort', stop);
      throwIfCancelled(options.signal);
      const failed = results.find((r) => r.status === 'rejected');
      if (failed !== undefined) throw failed.reason;
      return joinShares(results.map((r) => (r as PromiseFulfilledResult<CrewShare>).value));
    },
    async close() {
      await Promise.all(helpers.splice(0).map((worker) => worker.terminate()));
    },
  };
};

/** Reports progress, and lets the rest of the program run for a moment where it has waited for long. */
const breather = (job: CrewJob, shared: Int32Array, { progress }: StripOptions) => {
  const pieces = pieceCount(job);
  let paused = performance.now();
  return (): Promise<void> | undefined => {
    progress?.(Math.min(1, Atomics.load(shared, NEXT) / pieces));
    if (performance.now() - paused < 30) return undefined;
    return new Promise((resolve) => {
      setImmediate(() => {
        paused = performance.now();
        resolve();
      });
    });
  };
};

const handOver = (worker: Worker, job: CrewJob, shared: Int32Array): Promise<CrewShare> =>
  new Promise((resolve, reject) => {
    const settle = (done: () => void) => {
      for (const event of ['message', 'error', 'exit']) worker.removeAllListeners(event);
      done();
    };
    worker.on('message', (outcome: Outcome) =>
      settle(() => {
        if ('share' in outcome) resolve(outcome.share);
        else if ('fault' in outcome) reject(new LinewashError(outcome.fault));
        else reject(new Error(outcome.defect));
      }),
    );
    worker.on('error', (cause) => settle(() => reject(cause)));
    worker.on('exit', () => settle(() => reject(new Error('a worker thread ended early'))));
    worker.postMessage({ job, shared });
  });
