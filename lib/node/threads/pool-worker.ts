// A thread that helps with jobs, one after another: see pool.ts.
import { parentPort } from 'node:worker_threads';
import { comeIn, type Order, outcomeOf, type PoolResult, takePieces } from './pool-job.ts';

const port = parentPort!;
port.on('message', async ({ id, job, shared, helper }: Order) => {
  if (!comeIn(shared, helper)) return;
  const outcome = await outcomeOf(takePieces(job, shared));
  port.postMessage({ id, outcome }, 'result' in outcome ? buffersOf(outcome.result) : []);
});

/** Counts are handed over, not copied. */
const buffersOf = ({ upper, lower, found }: PoolResult): ArrayBuffer[] => [
  ...(upper ? [upper.bins.buffer] : []),
  ...(found ?? []).map(({ numbers }) => numbers.buffer),
  ...(lower ?? []).flatMap((parts) => parts.flatMap(({ bytes, blocks }) => [bytes.buffer, blocks.buffer])),
];
