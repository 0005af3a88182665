// A thread that helps with a job: see crew.ts.
import { parentPort, workerData } from 'node:worker_threads';
import { type CrewJob, doShare, outcomeOf } from './crew-job.ts';

const { job, shared } = workerData as { job: CrewJob; shared: Int32Array };
parentPort!.postMessage(await outcomeOf(doShare(job, shared)));
