/** The functions of the public API on Node, which look at their arguments first. */
import { checked, flag, list, method, object, oneOf, optional, table, text, whole } from '../plane/arguments.ts';
import { batchFiles as batchFilesInside, planBatch as planBatchInside } from './batch/batch-files.ts';
import { runBatch as runBatchInside } from './batch/run.ts';
import { fileSink as fileSinkInside } from './files/file-sink.ts';
import { openFile as openFileInside } from './files/file-source.ts';
import { closeMasters as closeMastersInside, openMasters as openMastersInside } from './masters/masters.ts';
import { mixFiles as mixFilesInside } from './mix-files.ts';

const signal = optional(object({ aborted: flag }));
const progress = optional(method);
const inputs = table(text);
const plan = {
  plan: (value: unknown) => (typeof value === 'string' ? undefined : object()(value)),
  folder: optional(text),
  shard: optional(object({ index: whole(1), count: whole(1) })),
  reserved: optional(text),
};
const run = {
  force: optional(flag),
  parallel: optional(whole(1)),
  memory: optional(whole(1)),
  cache: optional(text),
  signal,
  progress,
};

export const batchFiles = checked('batchFiles', batchFilesInside, [object({ ...plan, ...run })]);
export const planBatch = checked('planBatch', planBatchInside, [object(plan)]);
export const runBatch = checked('runBatch', runBatchInside, [
  object({ into: text, jobs: list(object({ pictures: list(object({ output: text })) })) }),
  optional(object(run)),
]);
export const fileSink = checked('fileSink', fileSinkInside, [text, flag]);
export const openFile = checked('openFile', openFileInside, [text, optional(text)]);
export const closeMasters = checked('closeMasters', closeMastersInside, [list(object({ files: list(object()) }))]);
export const openMasters = checked('openMasters', openMastersInside, [
  inputs,
  optional(object({ zeros: optional(oneOf('undefined', 'data')), signal, progress })),
]);
export const mixFiles = checked('mixFiles', mixFilesInside, [
  object({
    recipe: object(),
    inputs,
    output: text,
    sample: optional(oneOf('u8', 'u16', 'f32')),
    space: optional(oneOf('srgb', 'display-p3', 'srgb-linear')),
    alpha: optional(flag),
    stars: optional(text),
    crop: optional(flag),
    size: optional(whole(1)),
    force: optional(flag),
    threads: optional(whole(1)),
    cache: optional(text),
    signal,
    progress,
  }),
]);
