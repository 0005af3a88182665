import { Worker } from 'node:worker_threads';
import { LinewashError } from '../plane/errors.ts';
import type { CrewJob, CrewShare, Order, Outcome } from './crew-job.ts';

/** Another thread that takes its share of jobs, in the order in which they are handed over. */
export interface CrewThread {
  /**
   * Its share of the job; never settles where it was shut out. A job that nobody finishes may fail unheard.
   * @throws LinewashError as on any thread; Error where the thread ended
   */
  handOver(job: CrewJob, shared: Int32Array, helper: number): Promise<CrewShare>;
  /** Ends the thread, whatever it is at. */
  dismiss(): Promise<unknown>;
}

interface Waiting {
  resolve(share: CrewShare): void;
  reject(cause: unknown): void;
}

/** One that was started before anybody needed it. */
let early: ReturnType<typeof startThread> | undefined;

/** Starts a thread while the rest of the program is still loading, which takes as long; it holds up no exit. */
export const startEarly = (): void => {
  early = startThread();
  early.worker.unref();
};

export const hireThread = (): CrewThread => {
  const { worker, thread } = early ?? startThread();
  early = undefined;
  worker.ref();
  return thread;
};

const startThread = () => {
  const worker = new Worker(new URL('./crew-worker.js', import.meta.url));
  const waiting = new Map<number, Waiting>();
  let orders = 0;
  const failAll = (cause: unknown) => {
    for (const { reject } of waiting.values()) reject(cause);
    waiting.clear();
  };
  worker.on('message', ({ id, outcome }: { id: number; outcome: Outcome }) => {
    const { resolve, reject } = waiting.get(id)!;
    waiting.delete(id);
    if ('share' in outcome) resolve(outcome.share);
    else reject('fault' in outcome ? new LinewashError(outcome.fault) : new Error(outcome.defect));
  });
  worker.on('error', failAll);
  worker.on('exit', () => failAll(new Error('a worker thread ended early')));
  const thread: CrewThread = {
    handOver(job, shared, helper) {
      const id = orders++;
      const share = new Promise<CrewShare>((resolve, reject) => void waiting.set(id, { resolve, reject }));
      share.catch(() => {});
      worker.postMessage({ id, job, shared, helper } satisfies Order);
      return share;
    },
    dismiss: () => worker.terminate(),
  };
  return { worker, thread };
};
