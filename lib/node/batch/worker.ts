import { Worker } from 'node:worker_threads';
import { doTask, type Task, type TaskEvent, type TaskResult } from './task.ts';

export type ToWorker = { readonly kind: 'task'; readonly task: Task } | { readonly kind: 'stop' };

export type ToMain =
  | { readonly kind: 'event'; readonly event: TaskEvent }
  | { readonly kind: 'done'; readonly result: TaskResult }
  | {
      readonly kind: 'failed';
      readonly message: string;
      readonly code: string | undefined;
      readonly path: string | undefined;
    };

/** Does tasks one at a time. */
export interface BatchWorker {
  /** @throws Error where the worker broke or was stopped; another can take the next task. */
  run(task: Task, emit: (event: TaskEvent) => void): Promise<TaskResult>;
  close(): Promise<void>;
}

/** This thread as a worker. */
export const ownWorker = (signal: AbortSignal): BatchWorker => ({
  run: (task, emit) => doTask(task, signal, emit),
  async close() {},
});

/** Worker threads run built files only: Node does not read TypeScript. */
export const canHaveThreads: boolean = import.meta.url.endsWith('.js');

/** A thread of its own, started when first needed, and again after it broke. */
export const threadWorker = (signal: AbortSignal): BatchWorker => {
  let worker: Worker | undefined;
  const stop = () => worker?.postMessage({ kind: 'stop' } satisfies ToWorker);
  signal.addEventListener('abort', stop, { once: true });
  const start = (): Worker => {
    const thread = new Worker(new URL('./job-worker.js', import.meta.url));
    // One that breaks between tasks is not missed: the next task starts another.
    thread.on('error', () => {});
    thread.on('exit', () => {
      if (worker === thread) worker = undefined;
    });
    return thread;
  };
  const run = (task: Task, emit: (event: TaskEvent) => void): Promise<TaskResult> =>
    new Promise((resolve, reject) => {
      worker ??= start();
      const thread = worker;
      const end = () => {
        thread.off('message', hear).off('error', broken).off('exit', ended);
      };
      const hear = (message: ToMain) => {
        if (message.kind === 'event') return emit(message.event);
        end();
        if (message.kind === 'done') resolve(message.result);
        else reject(Object.assign(new Error(message.message), { code: message.code, path: message.path }));
      };
      const broken = (cause: Error) => {
        worker = undefined;
        end();
        reject(cause);
      };
      const ended = () => broken(new Error('the thread that worked on it ended'));
      thread.on('message', hear).on('error', broken).on('exit', ended);
      thread.postMessage({ kind: 'task', task } satisfies ToWorker);
    });
  return {
    run,
    async close() {
      signal.removeEventListener('abort', stop);
      await worker?.terminate();
    },
  };
};

/**
 * Does all tasks with several workers, each taking the next one that is left; begins no further one once stopped.
 * @param done called after each task with its result, or with the reason why its worker broke
 */
export const share = async (
  tasks: readonly Task[],
  workers: readonly BatchWorker[],
  signal: AbortSignal,
  emit: (task: number, event: TaskEvent) => void,
  done: (task: number, outcome: { readonly result: TaskResult } | { readonly broken: Error }) => void,
): Promise<void> => {
  let next = 0;
  const work = async (worker: BatchWorker) => {
    while (next < tasks.length && !signal.aborted) {
      const task = next++;
      const outcome = await worker
        .run(tasks[task]!, (event) => emit(task, event))
        .then(
          (result) => ({ result }),
          (cause: Error) => ({ broken: cause }),
        );
      done(task, outcome);
    }
  };
  await Promise.all(workers.map(work));
};
