// A thread that helps with jobs, one after another: see pool.ts.
import { parentPort } from 'node:worker_threads';
import { comeIn, doShare, type Order, outcomeOf, type PoolShare } from './pool-job.ts';

const port = parentPort!;
port.on('message', async ({ id, job, shared, helper }: Order) => {
  if (!comeIn(shared, helper)) return;
  const outcome = await outcomeOf(doShare(job, shared));
  port.postMessage({ id, outcome }, 'share' in outcome ? buffersOf(outcome.share) : []);
});

/** Counts are handed over, not copied. */
const buffersOf = ({ upper, lower }: PoolShare): ArrayBuffer[] => [
  ...(upper ? [upper.bins.buffer] : []),
  ...(lower ?? []).flatMap((parts) => parts.flatMap(({ bytes, blocks }) => [bytes.buffer, blocks.buffer])),
];
