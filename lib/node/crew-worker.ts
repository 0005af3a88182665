// A thread that helps with jobs, one after another: see crew.ts.
import { parentPort } from 'node:worker_threads';
import { type CrewShare, comeIn, doShare, type Order, outcomeOf } from './crew-job.ts';

const port = parentPort!;
port.on('message', async ({ id, job, shared, helper }: Order) => {
  if (!comeIn(shared, helper)) return;
  const outcome = await outcomeOf(doShare(job, shared));
  port.postMessage({ id, outcome }, 'share' in outcome ? buffersOf(outcome.share) : []);
});

/** Counts are handed over, not copied. */
const buffersOf = ({ upper, lower }: CrewShare): ArrayBuffer[] => [
  ...(upper ? [upper.bins.buffer] : []),
  ...(lower ?? []).flatMap((parts) => parts.flatMap(({ bytes, blocks }) => [bytes.buffer, blocks.buffer])),
];
