import { stat } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { secondsOf } from '../hours/duration.ts';
import { parsePlan } from '../hours/plan/parse.ts';
import { type PlanResult, planHours } from '../hours/plan/plan.ts';
import type { PlanTarget } from '../hours/plan/schema.ts';
import { type MeasuredTarget, ofLine } from '../hours/plan/target.ts';
import { boxOf } from '../plane/box.ts';
import { checkedRecipe } from '../recipe/written/parse.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { targetKey } from '../tally/target-name.ts';
import { readWholeText } from './files/read-text.ts';
import { ledgerFiles } from './ledger-files.ts';
import { recipeFrom } from './masters/recipe-source.ts';
import { type ReadTally, readTally } from './tally/read-tally.ts';

/** A plan of nights over several targets. */
export interface NightsOptions {
  /** The plan's file. */
  readonly plan: string;
  /** Hours so far where neither plan nor headers state them: a tally in JSON, or a folder of sub-exposures to count. */
  readonly tally?: string | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the target whose masters are measured next, and the share of targets that is done, 0…1. */
  readonly progress?: ((target: string, done: number) => void) | undefined;
}

/** Hours by night, target and line. */
export interface NightsPlan extends PlanResult {
  readonly warnings: readonly string[];
}

const MAX_BYTES = 1 << 20;

/**
 * Reads a plan, measures its targets' masters one after the other and splits its nights.
 * @throws LinewashError 'recipe' for faults of the plan, 'input' and 'format' naming the file at fault.
 */
export const planFiles = async (options: NightsOptions): Promise<NightsPlan> => {
  const plan = parsePlan(await readWholeText(options.plan, MAX_BYTES, 'a plan'), options.plan);
  const tally = options.tally === undefined ? undefined : await readTally(options.tally, options.signal);
  const folder = dirname(options.plan);
  const measured: MeasuredTarget[] = [];
  const warnings = [...(tally?.notes ?? [])];
  for (const [i, target] of plan.targets.entries()) {
    options.progress?.(target.name, i / plan.targets.length);
    const found = await measureTarget(target, folder, options, tally);
    measured.push({ target, ledger: found.ledger, stats: found.surveys, exposures: found.exposures });
    warnings.push(...found.warnings.map((warning) => `${target.name}: ${warning}`));
  }
  return { ...planHours(plan, measured), warnings };
};

const measureTarget = async (
  target: PlanTarget,
  folder: string,
  options: NightsOptions,
  tally: ReadTally | undefined,
) => {
  const inputs = Object.fromEntries(
    Object.entries(target.masters).map(([name, file]) => [name, resolve(folder, file)]),
  );
  const hours = Object.keys(target.masters).flatMap((name) => {
    const text = ofLine(target.time, name);
    return text === undefined ? [] : [[name, secondsOf(text)! / 3600] as const];
  });
  return ledgerFiles({
    recipe: await recipeOf(target, folder, options),
    inputs,
    time: Object.fromEntries(hours),
    tally: tally && { targets: tally.targets, target: namedIn(tally, target.name) },
    box: target.box && boxOf(target.box),
    background: target.background && boxOf(target.background),
    signal: options.signal,
  });
};

/** The plan's own name of a target, where the tally knows it; else the headers of the masters say which is meant. */
const namedIn = ({ targets }: ReadTally, name: string): string | undefined =>
  targets.some(({ target }) => targetKey(target) === targetKey(name)) ? name : undefined;

/** A recipe written into the plan, a file beside it, or whatever else a word may mean. */
const recipeOf = async (
  { name, recipe }: PlanTarget,
  folder: string,
  options: NightsOptions,
): Promise<WrittenRecipe> => {
  if (typeof recipe !== 'string') return checkedRecipe(recipe, `${options.plan}, recipe of ${name}`);
  const path = resolve(folder, recipe);
  const exists = await stat(path).then(
    (facts) => facts.isFile(),
    () => false,
  );
  return recipeFrom(exists ? path : recipe);
};
