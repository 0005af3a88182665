import { Worker } from 'node:worker_threads';
import { LinewashError } from '../../plane/errors.ts';
import { isShutOut, type Order, type Outcome, type PoolJob, type PoolShare } from './pool-job.ts';

/** Another thread that takes its share of jobs, in the order in which they are handed over. */
export interface PoolThread {
  /**
   * Its share of the job; never settles where it was shut out. A job that nobody finishes may fail unheard.
   * @throws LinewashError as on any thread; Error where the thread ended
   */
  handOver(job: PoolJob, shared: Int32Array, helper: number): Promise<PoolShare>;
  /** Lets the thread go: it rests for the next who needs one, or ends at once where it is still at work. */
  dismiss(): Promise<unknown>;
}

interface Waiting extends Pick<Order, 'shared' | 'helper'> {
  resolve(share: PoolShare): void;
  reject(cause: unknown): void;
}

/** A thread without work holds up no exit, and ends after so many ms. */
const REST = 2000;

/** Threads that rest. Starting one takes as long as a seventh of a picture of 26 megapixels. */
const resting = new Set<RestingThread>();

interface RestingThread {
  readonly thread: PoolThread;
  wake(): void;
}

/** Starts a thread while the rest of the program is still loading, which takes as long. */
export const startEarly = (): void => void startThread().dismiss();

export const hireThread = (): PoolThread => {
  const [rested] = resting;
  if (rested === undefined) return startThread();
  rested.wake();
  return rested.thread;
};

const startThread = (): PoolThread => {
  const worker = new Worker(new URL('./pool-worker.js', import.meta.url));
  const waiting = new Map<number, Waiting>();
  let orders = 0;
  let bed: RestingThread | undefined;
  let ended = false;
  const end = (cause: unknown) => {
    ended = true;
    if (bed) resting.delete(bed);
    for (const { reject } of waiting.values()) reject(cause);
    waiting.clear();
  };
  worker.on('message', ({ id, outcome }: { id: number; outcome: Outcome }) => {
    const { resolve, reject } = waiting.get(id)!;
    waiting.delete(id);
    if ('share' in outcome) resolve(outcome.share);
    else reject('fault' in outcome ? new LinewashError(outcome.fault) : new Error(outcome.defect));
  });
  worker.on('error', end);
  worker.on('exit', () => end(new Error('a worker thread ended early')));
  const rest = () => {
    const timer = setTimeout(() => {
      // At once: who hires a thread that is about to end waits in vain.
      resting.delete(rested);
      void worker.terminate();
    }, REST).unref();
    const wake = () => {
      clearTimeout(timer);
      worker.ref();
      resting.delete(rested);
    };
    const rested: RestingThread = { thread, wake };
    bed = rested;
    worker.unref();
    resting.add(rested);
  };
  const thread: PoolThread = {
    handOver(job, shared, helper) {
      const id = orders++;
      const share = new Promise<PoolShare>((resolve, reject) => {
        waiting.set(id, { resolve, reject, shared, helper });
      });
      share.catch(() => {});
      worker.postMessage({ id, job, shared, helper } satisfies Order);
      return share;
    },
    async dismiss() {
      // One that ended must not rest: who hired it would wait for nobody.
      if (ended) return;
      if ([...waiting.values()].every(({ shared, helper }) => isShutOut(shared, helper))) rest();
      else await worker.terminate();
    },
  };
  return thread;
};
