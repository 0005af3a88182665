import { fileName } from './path.ts';
import { targetKey } from './target-name.ts';

/** What the target of a master was read from. */
export type TargetBy = 'header' | 'file name' | 'folder name';

/** A master whose target and line are known. */
export interface FoundMaster {
  /** With `/` or, on Windows, `\` between folders and file. */
  readonly path: string;
  readonly target: string;
  readonly by: TargetBy;
  /** What is left of its file's name without its line. */
  readonly name: string;
  readonly line: string;
  /** As the header writes it. */
  readonly filter?: string | undefined;
  /** Whether the header says that several exposures went into it. */
  readonly stacked: boolean;
  /** In pixels. */
  readonly width: number;
  readonly height: number;
}

/** The masters of one target and one size: those that a recipe can mix. */
export interface MasterGroup<M extends FoundMaster = FoundMaster> {
  /** The name of the target; with the size behind it where the target has masters of several. */
  readonly name: string;
  readonly target: string;
  readonly width: number;
  readonly height: number;
  /** Line → paths, both in the order in which they were found. */
  readonly lines: ReadonlyMap<string, readonly string[]>;
  /** What its target was read from, master by master, each once. */
  readonly by: readonly TargetBy[];
  /** As they were handed in, in their order. */
  readonly masters: readonly M[];
}

/**
 * Masters by target and size, and notes that say what was put together or kept apart, and why. Spellings that differ in
 * capitals, blanks and signs are one target, under the spelling that most masters have.
 */
export const groupMasters = <M extends FoundMaster>(
  masters: readonly M[],
): { groups: MasterGroup<M>[]; notes: string[] } => {
  const groups: MasterGroup<M>[] = [];
  const notes: string[] = [];
  const targets = [...groupBy(masters, ({ target }) => targetKey(target)).values()].map((own) => ({
    target: mostUsed(own.map(({ target }) => target)),
    own,
  }));
  for (const { target, own } of targets.sort((a, b) => (a.target < b.target ? -1 : 1))) {
    const spellings = [...new Set(own.map((master) => master.target))].sort();
    if (spellings.length > 1) notes.push(`${target}: one target, spelt ${spellings.join(', ')}`);
    const bySize = groupBy(own, ({ width, height }) => `${width}x${height}`);
    const parts = [...bySize].map(([size, some]) => ({
      some,
      group: groupOf(target, bySize.size > 1 ? `${target} ${size}` : target, some),
    }));
    groups.push(...parts.map(({ group }) => group));
    if (parts.length > 1) {
      const each = parts.map(({ group: { name, lines } }) => `${name} (${[...lines.keys()].join(', ')})`).join(', ');
      notes.push(`${target}: masters of ${parts.length} sizes cannot be mixed with each other: kept apart as ${each}`);
    }
    for (const { some, group } of parts)
      for (const [line, files] of groupBy(some, (master) => master.line))
        if (files.length > 1) notes.push(combined(group.name, line, files));
  }
  return { groups, notes };
};

/** More files without a word about stacks are more likely subs. */
const MANY = 5;
const SHOWN = 6;

const combined = (name: string, line: string, files: readonly FoundMaster[]): string => {
  const filters = new Set(files.map(({ filter = '' }) => targetKey(filter)));
  const each = files.map(({ path, filter }) =>
    filters.size > 1 ? `${lastOf(path)} (${filter ?? 'no filter'})` : lastOf(path),
  );
  const list = `${each.slice(0, SHOWN).join(', ')}${each.length > SHOWN ? ` and ${each.length - SHOWN} more` : ''}`;
  const doubt =
    files.length > MANY && !files.some(({ stacked }) => stacked)
      ? '; no header says that they are stacks: remove them from the plan if they are sub-exposures'
      : '';
  return `${name}: ${files.length} files of ${line} have one size and will be combined: ${list}${doubt}`;
};

const lastOf = (path: string): string => fileName(path.replaceAll('\\', '/'));

const groupOf = <M extends FoundMaster>(target: string, name: string, masters: readonly M[]): MasterGroup<M> => {
  const { width, height } = masters[0]!;
  const lines = new Map(
    [...groupBy(masters, ({ line }) => line)].map(([line, some]) => [line, some.map(({ path }) => path)]),
  );
  return { name, target, width, height, lines, by: [...new Set(masters.map(({ by }) => by))], masters };
};

/** The value that occurs most, the first by name among equals. */
const mostUsed = (names: readonly string[]): string =>
  [...groupBy(names, (name) => name)].sort(
    ([a, some], [b, others]) => others.length - some.length || (a < b ? -1 : 1),
  )[0]![0];

const groupBy = <T>(items: readonly T[], keyOf: (item: T) => string): Map<string, T[]> => {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group) group.push(item);
    else groups.set(key, [item]);
  }
  return groups;
};
