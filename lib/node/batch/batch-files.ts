import { dirname, resolve } from 'node:path';
import { inputError, LinewashError } from '../../plane/errors.ts';
import { openFile } from '../files/file-source.ts';
import { refuseCollisions } from './collisions.ts';
import { type BatchWork, batchWork } from './jobs.ts';
import { checkedBatch, parseBatch } from './parse.ts';
import { type BatchResult, type RunOptions, runBatch } from './run.ts';
import { type BatchPlan, LONGEST_PLAN } from './schema.ts';
import { type Shard, shardOf } from './shard.ts';

/** A plan, and how it is carried out. */
export interface BatchOptions extends RunOptions {
  /** A plan's file, a plan as JSON text that starts with `{`, or a plan. */
  readonly plan: string | BatchPlan;
  /** What the plan's names are relative to: the folder of its file, else the current one, by default. */
  readonly folder?: string | undefined;
  /** Only a part of the jobs; the sheet is then left to a run over all. */
  readonly shard?: Shard | undefined;
  /** A further file that will be written, which no result may overwrite. */
  readonly reserved?: string | undefined;
}

/** The options that only look at a batch take. */
export type PlanOptions = Pick<BatchOptions, 'plan' | 'folder' | 'shard' | 'reserved'>;

/**
 * Reads a plan, finds its targets and lists what is to be made; nothing is written.
 * @throws LinewashError 'recipe' for faults of the plan or a recipe, with place; 'input' where folders cannot be read,
 * nothing is found, or results would overwrite each other or a master
 */
export const planBatch = async (options: PlanOptions): Promise<BatchWork> => {
  const { plan, folder } = await readPlan(options);
  const { reserved } = options;
  const work = await batchWork(plan, folder);
  await refuseCollisions(work, reserved === undefined ? [] : [{ path: reserved, owner: 'the report' }]);
  return options.shard === undefined ? work : shardOf(work, options.shard);
};

/**
 * Makes many pictures of many targets by many recipes: those that are not there yet or out of date.
 * @throws LinewashError as `planBatch` does, before anything is written; what goes wrong later is in the result
 */
export const batchFiles = async (options: BatchOptions): Promise<BatchResult> =>
  runBatch(await planBatch(options), options);

const readPlan = async ({ plan, folder }: PlanOptions) => {
  const here = folder ?? process.cwd();
  if (typeof plan !== 'string') return { plan: checkedBatch(plan), folder: here };
  if (plan.trimStart().startsWith('{')) return { plan: parseBatch(plan), folder: here };
  return { plan: parseBatch(await readText(plan), plan), folder: folder ?? dirname(resolve(plan)) };
};

const readText = async (path: string): Promise<string> => {
  const file = await openFile(path);
  try {
    if (file.size > LONGEST_PLAN) throw inputError('is too long for a plan', 'name a plan file', path);
    return new TextDecoder('utf-8', { fatal: true }).decode(await file.read(0, file.size));
  } catch (cause) {
    if (cause instanceof LinewashError) throw cause;
    throw inputError('is not text in UTF-8', 'save the plan as UTF-8 JSON', path);
  } finally {
    await file.close();
  }
};
