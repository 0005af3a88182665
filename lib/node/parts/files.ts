/** The parts that need files. */

export type { NightBlock, PlannedNight } from '../../hours/plan/nights.ts';
export type { PlannedTarget } from '../../hours/plan/plan.ts';
export { type PlanOptions, planBatch } from '../batch/batch-files.ts';
export type { FoundTarget } from '../batch/discover.ts';
export type { BatchJob, BatchPicture, BatchWork } from '../batch/jobs.ts';
export type { Pace } from '../batch/pace.ts';
export type { PictureReport } from '../batch/picture-report.ts';
export { type BatchResult, type RunOptions, runBatch } from '../batch/run.ts';
export type { BatchPlan } from '../batch/schema.ts';
export type { Shard } from '../batch/shard.ts';
export type { SheetReport } from '../batch/sheet.ts';
export { type FileSink, fileSink } from '../files/file-sink.ts';
export { type FileSource, openFile } from '../files/file-source.ts';
export { type NightsOptions, type NightsPlan, planFiles } from '../plan-files.ts';
