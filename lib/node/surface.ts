/** The API of linewash on Node, as its types and reference show it: everything of the platform-free one, and files. */
export * from '../surface.ts';
export { type BatchOptions, batchFiles, type PlanOptions, planBatch } from './batch/batch-files.ts';
export type { FoundTarget } from './batch/discover.ts';
export type { BatchJob, BatchPicture, BatchWork } from './batch/jobs.ts';
export type { Pace } from './batch/pace.ts';
export type { PictureReport } from './batch/picture-report.ts';
export { type BatchResult, type RunOptions, runBatch } from './batch/run.ts';
export type { BatchPlan } from './batch/schema.ts';
export type { Shard } from './batch/shard.ts';
export type { SheetReport } from './batch/sheet.ts';
export { type FileSink, fileSink } from './files/file-sink.ts';
export { type FileSource, openFile } from './files/file-source.ts';
export type { Master, MasterFile, OpenOptions } from './masters/master.ts';
export { closeMasters, openMasters } from './masters/masters.ts';
export { type MixOptions, type MixResult, mixFiles } from './mix-files.ts';
