import { join, resolve } from 'node:path';
import { formatOf } from '../../formats/pictures.ts';
import type { OutputSample, SpaceName } from '../../plane/picture.ts';
import { neededChannels } from '../../recipe/settle/channels.ts';
import { byChannel } from '../../recipe/written/channel-for.ts';
import type { KnobValues } from '../../recipe/written/knobs.ts';
import { plainRecipe } from '../../recipe/written/plain.ts';
import type { WrittenRecipe } from '../../recipe/written/schema.ts';
import { type FoundTarget, findTargets } from './discover.ts';
import { type BatchRecipe, channelsOfAll, readRecipes, withTargetKnobs } from './recipes.ts';
import type { BatchPlan, OutputEntry, OutputForm, RecipeEntry, TargetEntry } from './schema.ts';
import { NO_STARS } from './stars.ts';
import { fillTemplate } from './template.ts';

/** One picture to be made. Plain data. */
export interface BatchPicture {
  readonly target: string;
  /** The recipe's name in this batch. */
  readonly recipe: string;
  readonly written: WrittenRecipe;
  /** Line → files as one spelling, absolute. */
  readonly inputs: Readonly<Record<string, string>>;
  /** Absolute. */
  readonly output: string;
  readonly sample: OutputSample;
  readonly space?: SpaceName;
  readonly alpha: boolean;
  readonly crop: boolean;
  /** A picture of the stars to lay over, or three, as one spelling, absolute. */
  readonly stars?: string;
  /** Longest side; full size where absent. */
  readonly size?: number;
  /** Why it cannot be made, known before any work. */
  readonly fault?: string;
}

/** A target with one recipe: what one command line makes. Plain data. */
export interface BatchJob {
  readonly target: FoundTarget;
  readonly recipe: { readonly name: string; readonly entry: RecipeEntry };
  readonly outputs: readonly OutputEntry[];
  readonly pictures: readonly BatchPicture[];
}

/** Everything a plan asks for, in the order of targets and recipes. */
export interface BatchWork {
  readonly into: string;
  readonly jobs: readonly BatchJob[];
  /** The sheet's file, absolute; absent for none. */
  readonly sheet?: { readonly file: string; readonly size: number };
}

/**
 * Finds targets, reads recipes and lists what is to be made. Nothing is written.
 * @param folder what the plan's names are relative to
 * @throws LinewashError 'input' or 'recipe' for faults that concern the plan as a whole
 */
export const batchWork = async (plan: BatchPlan, folder: string): Promise<BatchWork> => {
  const into = resolve(folder, plan.into ?? '.');
  const common = await readRecipes(plan.recipes ?? [], folder);
  const jobs: BatchJob[] = [];
  for (const entry of plan.targets) {
    const recipes = entry.recipes === undefined ? common : await readRecipes(entry.recipes, folder);
    const turned = withTargetKnobs(recipes, entry.knobs as KnobValues | undefined);
    const outputs = (entry.outputs ?? plan.outputs!).map((written) => outputFor(written, plan.defaults));
    for (const target of await targetsOf(entry, folder, turned))
      for (const recipe of turned) jobs.push(await jobFor(target, recipe, outputs, into));
  }
  if (plan.sheet === null) return { into, jobs };
  const { file = 'sheet.png', size = 320 } = plan.sheet ?? {};
  return { into, jobs, sheet: { file: join(into, fillTemplate(file, {})), size } };
};

const targetsOf = async (
  entry: TargetEntry,
  folder: string,
  recipes: readonly BatchRecipe[],
): Promise<FoundTarget[]> => {
  if (entry.pattern !== undefined)
    return findTargets(entry, resolve(folder, entry.folder ?? '.'), channelsOfAll(recipes));
  const masters = Object.entries(entry.masters!).map(([line, files]) => [
    line,
    [files].flat().map((file) => resolve(folder, file)),
  ]);
  const stars = entry.stars && { stars: [entry.stars].flat().map((file) => resolve(folder, file)) };
  return [{ name: entry.name!, masters: Object.fromEntries(masters), ...stars }];
};

/** An output with the defaults under it; bits that its format does not have stay the format's own. */
const outputFor = (written: string | OutputEntry, defaults: OutputForm = {}): OutputEntry => {
  const own: OutputEntry = typeof written === 'string' ? { file: written } : written;
  const { samples } = formatOf(own.file)!;
  const { bits, ...rest } = defaults;
  return { ...rest, ...(bits !== undefined && samples.includes(sampleOf(bits)) && { bits }), ...own };
};

const sampleOf = (bits: 8 | 16 | 32): OutputSample => (bits === 32 ? 'f32' : `u${bits}`);

const jobFor = async (
  target: FoundTarget,
  { name, recipe, entry }: BatchRecipe,
  outputs: readonly OutputEntry[],
  into: string,
): Promise<BatchJob> => {
  const lines = neededChannels(await plainRecipe(recipe));
  const found = byChannel(target.masters, lines);
  const missing = lines.filter((line) => !found.has(line));
  const fault = target.fault ?? (missing.length > 0 ? missingFault(missing, target) : undefined);
  const present = lines.filter((line) => found.has(line));
  const inputs = Object.fromEntries(present.map((line) => [line, found.get(line)!.join(',')]));
  const words = { target: target.name, recipe: name, line: lines.join(lines.some((l) => l.length > 1) ? '-' : '') };
  const pictures = outputs.map((output): BatchPicture => {
    const { file, bits, space, alpha = false, crop = false, size } = output;
    const { stars, starsFault } = output.stars === false ? NO_STARS : target;
    const why = fault ?? starsFault;
    return {
      target: target.name,
      recipe: name,
      written: recipe,
      inputs,
      output: join(into, fillTemplate(file, words)),
      sample: bits === undefined ? formatOf(file)!.samples[0]! : sampleOf(bits),
      alpha,
      crop,
      ...(stars !== undefined && { stars: stars.join(',') }),
      ...(space !== undefined && { space }),
      ...(size !== undefined && { size }),
      ...(why !== undefined && { fault: why }),
    };
  });
  return { target, recipe: { name, entry }, outputs, pictures };
};

const missingFault = (missing: readonly string[], { masters }: FoundTarget): string =>
  `no master for ${missing.join(', ')} (found: ${Object.keys(masters).join(', ') || 'none'})`;
