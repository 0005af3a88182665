import { varianceAfter } from './fill.ts';
import { type Group, groupOf, type Split, split } from './split.ts';
import { clockHours, type SubLine } from './subs.ts';

export interface AllocateOptions {
  /** Hours on the clock that each line used costs besides its subs: filter change, focus, framing. */
  readonly change?: number | undefined;
  readonly groups?: ReadonlyMap<string, Group> | undefined;
}

/** What one line gets. */
export interface Share {
  readonly name: string;
  readonly group: string;
  /** Hours of exposure added, and how many subs that is; no count where the length of a sub is unknown. */
  readonly added: number;
  readonly subs?: number;
  /** Hours on the clock for it, overheads included; 0 where nothing is added. */
  readonly clock: number;
}

/** Hours split between lines. */
export interface Allocation {
  readonly shares: readonly Share[];
  /** Hours on the clock that are used. */
  readonly clock: number;
  /** Variance in the unit of the goal before and after. */
  readonly before: number;
  readonly after: number;
}

/** So many lines have few enough choices for all of them to be tried. */
const FEW = 3;

/**
 * Splits `hours` on the clock over lines so that the variance Σ strength²/total becomes least: never negative, hours
 * spent kept, limits and overheads respected, whole subs where their length is known.
 * A line is left out where its filter change costs more than it brings, or where there is no time for all changes: of up
 * to three lines every choice is tried; of more, lines are dropped or taken back one by one, always the one that lowers
 * the variance most, while one does.
 */
export const allocate = (
  lines: readonly SubLine[],
  hours: number,
  { change = 0, groups = new Map() }: AllocateOptions = {},
): Allocation => {
  const attempt = (used: ReadonlySet<number>) => split(lines, hours, used, change, groups);
  const useful = lines.flatMap((line, i) => (line.strength > 0 ? i : []));
  const all = attempt(new Set(useful));
  const best =
    change === 0 ? all : useful.length <= FEW ? bestOfAll(useful, all, attempt) : improved(useful, all, attempt);
  return describe(lines, best.totals, change);
};

type Attempt = (used: ReadonlySet<number>) => Split;

const better = (best: Split, other: Split): Split => (other.variance < best.variance ? other : best);

/** The best of all choices of lines. */
const bestOfAll = (useful: readonly number[], all: Split, attempt: Attempt): Split => {
  const choices = Array.from({ length: 2 ** useful.length - 1 }, (_, c) => useful.filter((_, k) => (c >> k) & 1));
  return choices.map((used) => attempt(new Set(used))).reduce(better, all);
};

/** The best that dropping lines and taking them back leads to. */
const improved = (useful: readonly number[], all: Split, attempt: Attempt): Split => {
  for (let best = all; ; ) {
    const { used, variance } = best;
    best = useful.map((i) => attempt(toggled(used, i))).reduce(better, best);
    if (!(best.variance < variance)) return best;
  }
};

const toggled = (set: ReadonlySet<number>, i: number): Set<number> =>
  set.has(i) ? new Set([...set].filter((k) => k !== i)) : new Set([...set, i]);

const describe = (lines: readonly SubLine[], totals: readonly number[], change: number): Allocation => {
  const shares = lines.map((line, i): Share => {
    const added = totals[i]! - line.spent;
    const { name, sub } = line;
    const clock = added > 0 ? clockHours(line, added) + change : 0;
    const subs = sub === undefined ? {} : { subs: Math.round((added * 3600) / sub) };
    return { name, group: groupOf(line), added, ...subs, clock };
  });
  return {
    shares,
    clock: shares.reduce((sum, { clock }) => sum + clock, 0),
    before: varianceAfter(
      lines,
      lines.map(({ spent }) => spent),
    ),
    after: varianceAfter(lines, totals),
  };
};
