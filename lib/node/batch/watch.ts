import { stat } from 'node:fs/promises';
import { setTimeout as sleep } from 'node:timers/promises';
import { LinewashError } from '../../plane/errors.ts';
import { splitFiles } from '../files/spelling.ts';
import { type BatchOptions, planBatch } from './batch-files.ts';
import type { BatchPicture, BatchWork } from './jobs.ts';
import { type BatchResult, runBatch } from './run.ts';

export interface WatchOptions extends BatchOptions {
  /** Seconds from one look at the masters to the next. */
  readonly every: number;
  /** Called with each run over some targets. */
  readonly ran: (result: BatchResult) => void;
  /** Called where the plan or its masters cannot be used for now, once for each reason. */
  readonly trouble: (cause: LinewashError) => void;
  /** Waits for so many seconds; tests have a clock of their own. */
  readonly pause?: ((seconds: number, signal: AbortSignal | undefined) => Promise<void>) | undefined;
}

const pauseFor = (seconds: number, signal: AbortSignal | undefined): Promise<void> =>
  sleep(1000 * seconds, undefined, { signal }).catch(() => {});

/** Size and time of each file of a target, as one text. */
type Stamps = ReadonlyMap<string, string>;

/**
 * Makes the pictures of a plan, and those of a target again whenever its masters change, until `signal` is raised. Looks
 * at sizes and times now and then, which works on network drives too. A target is made when all of its files have stood
 * still from one look to the next: a master that is being copied is taken up once, whole.
 * @throws LinewashError as `planBatch` does, before the first look
 */
export const watchBatch = async (options: WatchOptions): Promise<void> => {
  const { every, signal, pause = pauseFor } = options;
  let work: BatchWork | undefined = await planBatch(options);
  let before: Stamps = new Map();
  const made = new Map<string, string>();
  let told: string | undefined;
  while (!signal?.aborted) {
    const now: Stamps = work === undefined ? new Map() : await stampsOf(work);
    const isDue = (target: string) => now.get(target) === before.get(target) && now.get(target) !== made.get(target);
    const due = new Set([...now.keys()].filter(isDue));
    if (work !== undefined && due.size > 0) {
      // What changes while pictures are made differs from these, and is made again.
      for (const target of due) made.set(target, now.get(target)!);
      const isWhole = [...now].every(([target, stamp]) => made.get(target) === stamp);
      const { sheet, ...rest } = work;
      const jobs = work.jobs.filter(({ target }) => due.has(target.name));
      // A sheet shows all targets: it waits until all stand still.
      options.ran(
        await runBatch({ ...rest, jobs: isWhole ? work.jobs : jobs, ...(isWhole && sheet && { sheet }) }, options),
      );
    }
    before = now;
    if (signal?.aborted) return;
    await pause(every, signal);
    work = await planBatch(options).catch((cause) => {
      if (!(cause instanceof LinewashError)) throw cause;
      if (told !== cause.message) options.trouble(cause);
      told = cause.message;
      return undefined;
    });
    if (work !== undefined) told = undefined;
  }
};

const stampsOf = async ({ jobs }: BatchWork): Promise<Stamps> => {
  const spellings = new Map<string, Set<string>>();
  for (const { target, pictures } of jobs) {
    const all = spellings.get(target.name) ?? new Set();
    for (const picture of pictures) for (const file of filesOf(picture)) all.add(file);
    spellings.set(target.name, all);
  }
  const stamps = await Promise.all(
    [...spellings].map(async ([name, files]) => [name, await stampOf([...files])] as const),
  );
  return new Map(stamps);
};

const filesOf = ({ inputs, stars }: BatchPicture): string[] => [
  ...Object.values(inputs),
  ...(stars === undefined ? [] : [stars]),
];

const stampOf = async (spellings: readonly string[]): Promise<string> => {
  const stamps: string[] = [];
  for (const spelling of spellings)
    for (const { path } of await splitFiles(spelling)) {
      const facts = await stat(path).catch(() => undefined);
      stamps.push(`${path} ${facts?.size} ${facts?.mtimeMs}`);
    }
  return stamps.join('\n');
};
