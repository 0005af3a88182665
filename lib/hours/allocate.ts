import { varianceAfter } from './fill.ts';
import { type Group, groupOf, split } from './split.ts';
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

/**
 * Splits `hours` on the clock over lines so that the variance Σ strength²/total becomes least: never negative, hours
 * spent kept, limits and overheads respected, whole subs where their length is known.
 * A line is left out where its filter change costs more than it brings, or where there is no time for all changes:
 * lines are dropped or taken back one by one, always the one that lowers the variance most, while one does.
 */
export const allocate = (
  lines: readonly SubLine[],
  hours: number,
  { change = 0, groups = new Map() }: AllocateOptions = {},
): Allocation => {
  const attempt = (used: ReadonlySet<number>) => split(lines, hours, used, change, groups);
  const useful = lines.flatMap((line, i) => (line.strength > 0 ? i : []));
  let best = attempt(new Set(useful));
  for (let improved = change > 0; improved; ) {
    const { used, variance } = best;
    for (const i of useful) {
      const other = attempt(toggled(used, i));
      if (other.variance < best.variance) best = other;
    }
    improved = best.variance < variance;
  }
  return describe(lines, best.totals, change);
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
