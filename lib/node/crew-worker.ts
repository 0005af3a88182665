// A thread that helps with jobs: see crew.ts.
import { parentPort } from 'node:worker_threads';
import { type CrewJob, doShare, outcomeOf } from './crew-job.ts';

const port = parentPort!;
port.on('message', async ({ job, shared }: { job: CrewJob; shared: Int32Array }) => {
  const outcome = await outcomeOf(doShare(job, shared));
  port.postMessage(outcome, 'share' in outcome ? buffersOf(outcome.share) : []);
});

/** Counts are handed over, not copied. */
const buffersOf = ({ upper, lower }: Awaited<ReturnType<typeof doShare>>): ArrayBuffer[] => [
  ...(upper ? [upper.bins.buffer] : []),
  ...(lower ?? []).map((table) => table.buffer),
];
