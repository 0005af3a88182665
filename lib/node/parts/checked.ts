/** The functions of `linewash/parts` on Node, which look at their arguments first. */
import { checked, flag, list, object, optional, text } from '../../plane/arguments.ts';
import { planBatch as planBatchInside } from '../batch/batch-files.ts';
import { runBatch as runBatchInside } from '../batch/run.ts';
import { fileSink as fileSinkInside } from '../files/file-sink.ts';
import { openFile as openFileInside } from '../files/file-source.ts';
import { planFiles as planFilesInside } from '../plan-files.ts';
import { plan, run, work } from '../shapes.ts';

export const planBatch = checked('planBatch', planBatchInside, [object(plan)]);
export const runBatch = checked('runBatch', runBatchInside, [
  object({ into: text, jobs: list(object({ pictures: list(object({ output: text })) })) }),
  optional(object(run)),
]);
export const fileSink = checked('fileSink', fileSinkInside, [text, flag]);
export const openFile = checked('openFile', openFileInside, [text, optional(text)]);
export const planFiles = checked('planFiles', planFilesInside, [object({ plan: text, ...work })]);
