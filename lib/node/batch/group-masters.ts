import { basename } from 'node:path';
import type { Named } from './star-picture.ts';

/** A master that was found in a folder. */
export interface FoundMaster extends Named {
  readonly line: string;
  /** In pixels. */
  readonly width: number;
  readonly height: number;
}

/** The masters of one target and one size: those that a recipe can mix. */
export interface MasterGroup {
  /** The name of the target; with the size behind it where the target has masters of several. */
  readonly name: string;
  readonly target: string;
  readonly width: number;
  readonly height: number;
  /** Line → paths, both in the order in which they were found. */
  readonly lines: ReadonlyMap<string, readonly string[]>;
}

/** Masters by target and size, and notes that say what was put together or kept apart, and why. */
export const groupMasters = (masters: readonly FoundMaster[]): { groups: MasterGroup[]; notes: string[] } => {
  const groups: MasterGroup[] = [];
  const notes: string[] = [];
  const byTarget = groupBy(masters, ({ target }) => target);
  for (const [target, own] of [...byTarget].sort(([a], [b]) => (a < b ? -1 : 1))) {
    const bySize = groupBy(own, ({ width, height }) => `${width}x${height}`);
    const parts = [...bySize].map(([size, some]) =>
      groupOf(target, bySize.size > 1 ? `${target} ${size}` : target, some),
    );
    groups.push(...parts);
    if (parts.length > 1) {
      const each = parts.map(({ name, lines }) => `${name} (${[...lines.keys()].join(', ')})`).join(', ');
      notes.push(`${target}: masters of ${parts.length} sizes cannot be mixed with each other: kept apart as ${each}`);
    }
    for (const { name, lines } of parts)
      for (const [line, paths] of lines)
        if (paths.length > 1)
          notes.push(
            `${name}: ${paths.length} files of ${line} have one size and will be combined: ` +
              `${paths.map((path) => basename(path)).join(', ')}`,
          );
  }
  return { groups, notes };
};

const groupOf = (target: string, name: string, masters: readonly FoundMaster[]): MasterGroup => {
  const { width, height } = masters[0]!;
  const lines = new Map(
    [...groupBy(masters, ({ line }) => line)].map(([line, some]) => [line, some.map(({ path }) => path)]),
  );
  return { name, target, width, height, lines };
};

const groupBy = <T>(items: readonly T[], keyOf: (item: T) => string): Map<string, T[]> => {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    groups.set(key, [...(groups.get(key) ?? []), item]);
  }
  return groups;
};
