import { Worker } from 'node:worker_threads';
import { LinewashError } from '../../plane/errors.ts';
import { isShutOut, type Order, type Outcome, type PoolJob, type PoolResult } from './pool-job.ts';

/** Another thread that takes its share of jobs, in the order in which they are handed over. */
export interface PoolThread {
  /**
   * Its share of the job; never settles where it was shut out. A job that nobody finishes may fail unheard.
   * @throws LinewashError as on any thread; Error where the thread ended
   */
  handOver(job: PoolJob, shared: Int32Array, helper: number): Promise<PoolResult>;
  /** Lets the thread go: it waits idle for the next job, or ends at once if it is still at work. */
  dismiss(): Promise<unknown>;
}

interface Waiting extends Pick<Order, 'shared' | 'helper'> {
  resolve(result: PoolResult): void;
  reject(cause: unknown): void;
}

/** A thread without work holds up no exit, and ends after so many ms. */
const IDLE_MS = 2000;

/** Idle threads. Starting one takes as long as a seventh of a picture of 26 megapixels. */
const idle = new Set<IdleThread>();

interface IdleThread {
  readonly thread: PoolThread;
  wake(): void;
}

/** Starts a thread while the rest of the program is still loading, which takes as long. */
export const startEarly = (): void => void startThread().dismiss();

export const takeThread = (): PoolThread => {
  const [first] = idle;
  if (first === undefined) return startThread();
  first.wake();
  return first.thread;
};

const startThread = (): PoolThread => {
  const worker = new Worker(new URL('./pool-worker.js', import.meta.url));
  const waiting = new Map<number, Waiting>();
  let orders = 0;
  let waitingAs: IdleThread | undefined;
  let ended = false;
  const end = (cause: unknown) => {
    ended = true;
    if (waitingAs) idle.delete(waitingAs);
    for (const { reject } of waiting.values()) reject(cause);
    waiting.clear();
  };
  worker.on('message', ({ id, outcome }: { id: number; outcome: Outcome }) => {
    const { resolve, reject } = waiting.get(id)!;
    waiting.delete(id);
    if ('result' in outcome) resolve(outcome.result);
    else reject('fault' in outcome ? new LinewashError(outcome.fault) : new Error(outcome.defect));
  });
  worker.on('error', end);
  worker.on('exit', () => end(new Error('a worker thread ended early')));
  const waitIdle = () => {
    const timer = setTimeout(() => {
      // At once: nobody may take a thread that is about to end.
      idle.delete(self);
      void worker.terminate();
    }, IDLE_MS).unref();
    const wake = () => {
      clearTimeout(timer);
      worker.ref();
      idle.delete(self);
    };
    const self: IdleThread = { thread, wake };
    waitingAs = self;
    worker.unref();
    idle.add(self);
  };
  const thread: PoolThread = {
    handOver(job, shared, helper) {
      const id = orders++;
      const result = new Promise<PoolResult>((resolve, reject) => {
        waiting.set(id, { resolve, reject, shared, helper });
      });
      result.catch(() => {});
      worker.postMessage({ id, job, shared, helper } satisfies Order);
      return result;
    },
    async dismiss() {
      // A thread that ended must not be taken again.
      if (ended) return;
      if ([...waiting.values()].every(({ shared, helper }) => isShutOut(shared, helper))) waitIdle();
      else await worker.terminate();
    },
  };
  return thread;
};
