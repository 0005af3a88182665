import { readdir } from 'node:fs/promises';
import { basename, dirname, join, relative, resolve } from 'node:path';
import { catalogueRecipe } from '../../palettes/catalogue.ts';
import { inputError, throwIfCancelled } from '../../plane/errors.ts';
import { neededChannels } from '../../recipe/settle/channels.ts';
import { plainRecipe } from '../../recipe/written/plain.ts';
import { describeMaster } from '../../tally/describe-master.ts';
import { type FoundMaster, groupMasters, type MasterGroup, type TargetBy } from '../../tally/group-masters.ts';
import { PICTURE_NAME } from '../../tally/path.ts';
import { targetKey } from '../../tally/target-name.ts';
import { nameFault } from '../files/name-fault.ts';
import { reasonOf } from '../files/reason.ts';
import { isTemporary } from '../files/temporary.ts';
import { writeContent } from '../files/write-whole.ts';
import { sourceIfMaster } from '../masters/line-of-file.ts';
import { BATCH_VERSION, type BatchPlan, MOST_TARGETS } from './schema.ts';
import { type StarPicture, starPicture, targetOfStars } from './star-picture.ts';

export interface InitOptions {
  /** Where the masters are; folders below are searched too. */
  readonly folder: string;
  /** The plan; `batch.json` in the folder by default. */
  readonly output?: string | undefined;
  /** Recipes for the plan; catalogue recipes that suit the lines by default. */
  readonly recipes?: readonly string[] | undefined;
  readonly force?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
}

export interface InitTarget {
  readonly name: string;
  /** Line → files relative to the plan. */
  readonly masters: Readonly<Record<string, string | string[]>>;
  /** What its name was read from. */
  readonly by: readonly TargetBy[];
  /** A picture of its stars, relative to the plan. */
  readonly stars?: string;
}

export interface InitResult {
  readonly file: string;
  readonly targets: readonly InitTarget[];
  /** What was left out and why. */
  readonly notes: readonly string[];
}

const DEEPEST = 6;
/** Proposed where no recipes are named: those whose lines some target has. */
const PROPOSED: readonly string[] = ['sho', 'hoo', 'ember'];

/**
 * Writes a plan from what lies in a folder: targets and lines by the headers of the masters, else by their names.
 * @throws LinewashError 'input' where there are no masters, 'output' where the plan cannot be written
 */
export const initPlan = async (options: InitOptions): Promise<InitResult> => {
  const { folder, signal } = options;
  const file = options.output ?? join(folder, 'batch.json');
  const fault = await nameFault(file, options.force);
  if (fault !== undefined) throw fault;
  const notes: string[] = [];
  const { masters, starred } = await lookThrough(folder, notes, signal);
  if (masters.length === 0)
    throw inputError('contains no masters whose line is known', 'name lines in the files, as Rim-Ha.fits', folder);
  const { groups, notes: grouping } = groupMasters(masters);
  const stars = starsOf(groups, starred, masters, notes);
  notes.push(...grouping);
  const near = (path: string) => relative(resolve(dirname(file)), resolve(path)).replaceAll('\\', '/');
  const targets = groups.map((group) => ({
    name: group.name,
    masters: Object.fromEntries([...group.lines].map(([line, paths]) => [line, one(paths.map(near))])),
    by: group.by,
    ...(stars.has(group) && { stars: near(stars.get(group)!) }),
  }));
  const recipes = options.recipes ?? (await proposed(targets.map(({ masters }) => Object.keys(masters))));
  await write(file, planFor(targets, recipes), options.force ?? false);
  return { file, targets, notes };
};

/** Masters and pictures of stars; what is neither is noted. */
const lookThrough = async (folder: string, notes: string[], signal: AbortSignal | undefined) => {
  const masters: FoundMaster[] = [];
  const starred: StarPicture[] = [];
  for (const path of await mastersBelow(folder)) {
    throwIfCancelled(signal);
    const ofStars = await starPicture(path);
    if (ofStars !== undefined) {
      starred.push(ofStars);
      continue;
    }
    const master = await masterAt(path, folder);
    if (typeof master === 'string') notes.push(`${path}: ${master}; left out`);
    else masters.push(master);
  }
  return { masters, starred };
};

/** The picture of the stars of each group: that of its target, of its size. */
const starsOf = (
  groups: readonly MasterGroup[],
  starred: readonly StarPicture[],
  masters: readonly FoundMaster[],
  notes: string[],
): Map<MasterGroup, string> => {
  const stars = new Map<MasterGroup, string>();
  for (const picture of starred) {
    const target = targetOfStars(picture, masters);
    const own = groups.filter((group) => target !== undefined && targetKey(group.target) === targetKey(target));
    const group = own.length === 1 ? own[0] : own.find((some) => sizeText(some) === sizeText(picture));
    if (group === undefined) notes.push(`${picture.path}: shows stars, but not plainly whose; left out`);
    else if (stars.has(group)) notes.push(`${picture.path}: a second picture of the stars of ${group.name}; left out`);
    else stars.set(group, picture.path);
  }
  return stars;
};

const sizeText = ({ width, height }: { readonly width: number; readonly height: number }) => `${width}x${height}`;

const one = (files: readonly string[]): string | string[] => (files.length === 1 ? files[0]! : [...files]);

const planFor = (targets: InitResult['targets'], recipes: readonly string[]): BatchPlan => ({
  linewash: BATCH_VERSION,
  targets: targets.map(({ by: _, ...target }) => target),
  recipes: [...recipes],
  into: 'pictures',
  outputs: ['{target}/{target} {recipe}.tif', { file: 'small/{target} {recipe}.png', size: 1600, bits: 8 }],
  sheet: { file: 'sheet.png', size: 320 },
});

const mastersBelow = async (folder: string): Promise<string[]> => {
  const names = await readdir(folder, { withFileTypes: true }).catch((cause) => {
    throw inputError(`cannot be read: ${reasonOf(cause)}`, 'name the folder of the masters', folder);
  });
  const paths: string[] = [];
  const visit = async (at: string, entries: typeof names, depth: number): Promise<void> => {
    for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
      if (entry.name.startsWith('.') || isTemporary(entry.name)) continue;
      const path = join(at, entry.name);
      if (entry.isDirectory() && depth < DEEPEST)
        await visit(path, await readdir(path, { withFileTypes: true }).catch(() => []), depth + 1);
      else if (PICTURE_NAME.test(entry.name)) paths.push(path);
      if (paths.length > MOST_TARGETS)
        throw inputError(`holds more than ${MOST_TARGETS} files`, 'name a smaller folder', folder);
    }
  };
  await visit(folder, names, 0);
  return paths;
};

/** A master with its target, line and size, or why it is none. */
const masterAt = async (path: string, folder: string): Promise<FoundMaster | string> => {
  const source = await sourceIfMaster(path);
  if (source === undefined) return 'not a readable master';
  const { facts, width, height } = source;
  return describeMaster({ path, folder: folderName(path, folder), facts, width, height });
};

const folderName = (path: string, folder: string): string =>
  resolve(dirname(path)) === resolve(folder) ? '' : basename(dirname(path));

/** Catalogue recipes that at least one target has all lines for; the first of them where none does. */
const proposed = async (lines: readonly string[][]): Promise<string[]> => {
  const fit: string[] = [];
  for (const name of PROPOSED) {
    const needed = neededChannels(await plainRecipe(catalogueRecipe(name)!));
    if (lines.some((some) => needed.every((line) => some.includes(line)))) fit.push(name);
  }
  return fit.length > 0 ? fit : [PROPOSED[0]!];
};

const write = (file: string, plan: BatchPlan, replace: boolean): Promise<void> =>
  writeContent(file, replace, `${JSON.stringify(plan, null, 2)}\n`);
