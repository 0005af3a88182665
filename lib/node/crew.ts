import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { LinewashError, throwIfCancelled } from '../plane/errors.ts';
import type { StripOptions } from '../plane/strips.ts';
import { type CrewJob, type CrewResult, doShare, NEXT, type Outcome, pieceCount, STOPPED } from './crew-job.ts';

export interface CrewOptions extends StripOptions {
  /** Threads that work at the same time, this one included; as many as there are processors by default. */
  readonly threads?: number | undefined;
}

/** More threads than this wait for memory rather than for arithmetic. */
const MOST_THREADS = 16;

export const threadsFor = (wish: number | undefined): number =>
  Math.max(1, Math.min(MOST_THREADS, wish ?? availableParallelism()));

/** Worker threads run built files only: Node does not read TypeScript. */
const built = import.meta.url.endsWith('.js');

/**
 * Does a job on several threads; this thread takes its share too, and lets other work of the program through between
 * pieces.
 * @throws LinewashError 'cancelled', or the first error of any thread, after all threads have stopped.
 */
export const doTogether = async (job: CrewJob, options: CrewOptions = {}): Promise<CrewResult> => {
  throwIfCancelled(options.signal);
  const shared = new Int32Array(new SharedArrayBuffer(8));
  const pieces = pieceCount(job);
  const stop = () => void Atomics.store(shared, STOPPED, 1);
  options.signal?.addEventListener('abort', stop, { once: true });
  const helpers = built ? Math.min(threadsFor(options.threads), pieces) - 1 : 0;
  const others = Array.from({ length: helpers }, () => helper(job, shared));
  let paused = performance.now();
  const between = (): Promise<void> | undefined => {
    options.progress?.(Math.min(1, Atomics.load(shared, NEXT) / pieces));
    if (performance.now() - paused < 30) return undefined;
    return new Promise((resolve) => {
      setImmediate(() => {
        paused = performance.now();
        resolve();
      });
    });
  };
  const results = await Promise.allSettled([doShare(job, shared, between), ...others]);
  options.signal?.removeEventListener('abort', stop);
  throwIfCancelled(options.signal);
  const failed = results.find((r) => r.status === 'rejected');
  if (failed !== undefined) throw failed.reason;
  return Object.assign({}, ...results.map((r) => (r as PromiseFulfilledResult<CrewResult>).value));
};

const helper = (job: CrewJob, shared: Int32Array): Promise<CrewResult> =>
  new Promise((resolve, reject) => {
    // A worker that does not start must not stop the others: its pieces are theirs.
    const worker = new Worker(new URL('./crew-worker.js', import.meta.url), { workerData: { job, shared } });
    worker.on('message', (outcome: Outcome) => {
      if ('result' in outcome) resolve(outcome.result);
      else if ('fault' in outcome) reject(new LinewashError(outcome.fault));
      else reject(new Error(outcome.defect));
    });
    worker.on('error', reject);
    worker.on('exit', () => reject(new Error('a worker thread ended early')));
  });
