import { stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import { splitFiles } from '../files/spelling.ts';
import { sweepTemporaries } from '../files/temporary.ts';
import { capacityFor, type Workload } from './capacity.ts';
import type { BatchJob, BatchPicture, BatchWork } from './jobs.ts';
import { createPace, type Pace } from './pace.ts';
import { failedReport, type PictureReport } from './picture-report.ts';
import { drawBatchSheet, type SheetReport } from './sheet.ts';
import type { PicturesTask } from './task.ts';
import { type BatchWorker, canHaveThreads, ownWorker, share, threadWorker } from './worker.ts';

/** How jobs are carried out. */
export interface RunOptions {
  /** Makes pictures even where they are up to date, and replaces files that linewash did not write. */
  readonly force?: boolean | undefined;
  /** Targets worked on at the same time; as many as processors and memory allow by default. */
  readonly parallel?: number | undefined;
  /** Bytes of memory that may be used; 60 % of what is free by default. */
  readonly memory?: number | undefined;
  /** A folder in which what is found of masters is kept for later runs, see `MixOptions`; none where absent. */
  readonly cache?: string | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  /** Looks for defects of the masters of each picture that is made: trails, columns, seams, spots. */
  readonly defects?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with each picture that is done, and now and then between. */
  readonly progress?: ((pace: Pace, report?: PictureReport) => void) | undefined;
}

/** What a batch did. */
export interface BatchResult {
  /** In the order of the jobs. */
  readonly pictures: readonly PictureReport[];
  readonly sheet?: SheetReport;
  readonly made: number;
  readonly kept: number;
  readonly failed: number;
  /** Not done because the batch was interrupted. */
  readonly left: number;
  readonly seconds: number;
}

/**
 * Makes all pictures of a batch that are not there or out of date, several targets at a time, and the sheet last. What
 * fails is reported and does not stop the others. Temporary files that a killed run left are removed first.
 * Never throws for anything that goes wrong with single pictures; stops early where `signal` is raised.
 */
export const runBatch = async (work: BatchWork, options: RunOptions = {}): Promise<BatchResult> => {
  const began = performance.now();
  const pictures = work.jobs.flatMap((job) => job.pictures);
  for (const folder of new Set(pictures.map(({ output }) => dirname(output)))) await sweepTemporaries(folder);
  const groups = byTarget(work.jobs);
  const { workers, threads } = capacityFor(await workloadOf(groups), options);
  const signal = options.signal ?? new AbortController().signal;
  const pool = poolOf(workers, signal);
  try {
    const tasks = groups.map(
      (some): PicturesTask => ({
        kind: 'pictures',
        pictures: some,
        force: options.force ?? false,
        threads,
        cache: options.cache,
        apart: options.apart,
        defects: options.defects,
      }),
    );
    const reports = await makeAll(tasks, pool, signal, options);
    const all = pictures.map((picture) => reports.get(picture.output) ?? leftReport(picture));
    const sheet = work.sheet && !signal.aborted ? await drawBatchSheet(work, pool, signal, options) : undefined;
    const count = (status: PictureReport['status']) => all.filter((report) => report.status === status).length;
    return {
      pictures: all,
      ...(sheet && { sheet }),
      made: count('made'),
      kept: count('kept'),
      failed: count('failed'),
      left: count('left'),
      seconds: Math.round(performance.now() - began) / 1000,
    };
  } finally {
    await Promise.all(pool.map((worker) => worker.close()));
  }
};

/** One thread for each worker; this one where that suffices, or where there can be no others. */
const poolOf = (workers: number, signal: AbortSignal): BatchWorker[] =>
  workers > 1 && canHaveThreads ? Array.from({ length: workers }, () => threadWorker(signal)) : [ownWorker(signal)];

/** Pictures of one target together: its masters are then hashed and measured once. */
const byTarget = (jobs: readonly BatchJob[]): BatchPicture[][] => {
  const groups = new Map<string, BatchPicture[]>();
  for (const { target, pictures } of jobs) groups.set(target.name, [...(groups.get(target.name) ?? []), ...pictures]);
  return [...groups.values()];
};

const makeAll = async (
  tasks: readonly PicturesTask[],
  pool: readonly BatchWorker[],
  signal: AbortSignal,
  { progress }: RunOptions,
): Promise<Map<string, PictureReport>> => {
  const reports = new Map<string, PictureReport>();
  const pace = createPace(tasks.reduce((sum, { pictures }) => sum + pictures.length, 0));
  const report = (task: number, found: PictureReport) => {
    reports.set(found.output, found);
    progress?.(pace.finish(task), found);
  };
  await share(
    tasks,
    pool,
    signal,
    (task, event) => {
      if (event.kind === 'report') report(task, event.report);
      else progress?.(pace.advance(task, event.done));
    },
    (task, outcome) => {
      if ('result' in outcome) return;
      for (const picture of tasks[task]!.pictures)
        if (!reports.has(picture.output)) report(task, failedReport(picture, outcome.broken, 0));
    },
  );
  return reports;
};

const leftReport = ({ target, recipe, output }: BatchPicture): PictureReport => ({
  target,
  recipe,
  output,
  status: 'left',
  why: 'interrupted',
  seconds: 0,
  warnings: [],
});

const workloadOf = async (groups: readonly (readonly BatchPicture[])[]): Promise<Workload> => {
  const pictures = groups.flat();
  const sizes = new Map<string, number>();
  const sizeOf = async (spelling: string): Promise<number> => {
    let size = sizes.get(spelling) ?? 0;
    if (!sizes.has(spelling))
      for (const { path } of await splitFiles(spelling)) size += (await stat(path).catch(() => undefined))?.size ?? 0;
    sizes.set(spelling, size);
    return size;
  };
  let bytes = 0;
  for (const { inputs } of pictures) for (const spelling of Object.values(inputs)) bytes += await sizeOf(spelling);
  return { targets: groups.length, pictures: pictures.length, bytes, largest: Math.max(0, ...sizes.values()) };
};
