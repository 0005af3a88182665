// A thread that does tasks of a batch one after the other: see worker.ts.
import { parentPort } from 'node:worker_threads';
import { doTask } from './task.ts';
import type { ToMain, ToWorker } from './worker.ts';

const port = parentPort!;
const say = (message: ToMain) => port.postMessage(message);
const stop = new AbortController();
/** Progress more often than this is not worth a message, in milliseconds. */
const INTERVAL = 100;
let shown = 0;

port.on('message', async (message: ToWorker) => {
  if (message.kind === 'stop') {
    stop.abort();
    return;
  }
  try {
    const result = await doTask(message.task, stop.signal, (event) => {
      const now = performance.now();
      if (event.kind === 'progress' && now - shown < INTERVAL) return;
      shown = now;
      say({ kind: 'event', event });
    });
    say({ kind: 'done', result });
  } catch (cause) {
    const { code, path } = cause as NodeJS.ErrnoException;
    say({ kind: 'failed', message: cause instanceof Error ? cause.message : String(cause), code, path });
  }
});
