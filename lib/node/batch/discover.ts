import { lineIn } from '../../measure/filters.ts';
import { inputError } from '../../plane/errors.ts';
import { channelFor } from '../../recipe/written/channel-for.ts';
import { factsIfMaster, lineBy } from '../masters/line-of-file.ts';
import { patternParts } from './pattern.ts';
import type { TargetEntry } from './schema.ts';
import { NO_STARS, type StarsFound, starsByTarget } from './stars.ts';
import { walk } from './walk.ts';

/** A target and its masters, as found or as written. */
export interface FoundTarget {
  readonly name: string;
  /** Line → files, absolute, with their selectors. */
  readonly masters: Readonly<Record<string, readonly string[]>>;
  /** A picture of its stars, or three, absolute, with their selectors. */
  readonly stars?: readonly string[];
  /** Why stars cannot be laid over, though they are asked for. */
  readonly starsFault?: string;
  /** Why nothing can be made of it. */
  readonly fault?: string;
}

/**
 * The targets that a pattern finds, by name. Files that differ only in the Unicode form of the target's name belong to
 * one target. Two files for one line of a target are its fault, not that of others.
 * @param folder absolute
 * @param channels the lines that the recipes know
 * @throws LinewashError 'input' where the folder cannot be read or nothing is found.
 */
export const findTargets = async (
  entry: TargetEntry,
  folder: string,
  channels: readonly string[],
): Promise<FoundTarget[]> => {
  const named = new Map(Object.entries(entry.lines ?? {}));
  const lineOf = (text: string): string | undefined => named.get(text) ?? channelFor(text, channels) ?? lineIn(text);
  const found = await walk(folder, patternParts(entry.pattern!), (text) => lineOf(text) !== undefined);
  const targets = new Map<string, Map<string, string[]>>();
  for (const { path, target, line } of found) {
    const known = line === undefined ? await lineOfFile(path) : lineOf(line);
    if (known === undefined) continue;
    const masters = targets.get(target!) ?? new Map<string, string[]>();
    masters.set(known, [...(masters.get(known) ?? []), path]);
    targets.set(target!, masters);
  }
  const only = entry.only?.map((name) => name.normalize('NFC'));
  const names = [...targets.keys()].filter((name) => only?.includes(name) ?? true).sort();
  if (names.length === 0) throw inputError(`no masters match ${entry.pattern}`, 'check "pattern" and "folder"', folder);
  const missing = only?.find((name) => !targets.has(name));
  if (missing !== undefined)
    throw inputError(`no masters of ${missing} are found`, 'check "only" and "pattern"', folder);
  const stars = entry.stars === undefined ? undefined : await starsByTarget([entry.stars].flat(), folder);
  return names.map((name) => asTarget(name, targets.get(name)!, stars?.(name) ?? NO_STARS));
};

const asTarget = (name: string, found: ReadonlyMap<string, readonly string[]>, stars: StarsFound): FoundTarget => {
  const masters = Object.fromEntries([...found].sort(([a], [b]) => (a < b ? -1 : 1)));
  const [line, files] = [...found].find(([, paths]) => paths.length > 1) ?? [];
  if (line === undefined) return { name, masters, ...stars };
  return { name, masters, ...stars, fault: `${files!.length} files stand for ${line}: ${files!.join(', ')}` };
};

const lineOfFile = async (path: string): Promise<string | undefined> => {
  const facts = await factsIfMaster(path);
  return facts && lineBy(facts, path)?.line;
};
