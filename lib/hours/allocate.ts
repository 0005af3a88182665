import { hoursToReach, varianceAfter } from './fill.ts';
import { fillGroups, type GroupedLine } from './fill-groups.ts';
import { clockHours, type SubLine, wholeSubs } from './subs.ts';

/** Limits of a group of lines: a target in a plan. */
export interface Group {
  /** Most hours on the clock, filter changes included. */
  readonly limit?: number | undefined;
  /** Variance that is low enough: no more time goes to the group then. */
  readonly enough?: number | undefined;
}

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
 * A line is left out where its filter change costs more than it brings: lines are dropped one by one, always the one
 * whose absence lowers the variance most, while it does.
 */
export const allocate = (
  lines: readonly SubLine[],
  hours: number,
  { change = 0, groups = new Map() }: AllocateOptions = {},
): Allocation => {
  const attempt = (used: ReadonlySet<number>) => split(lines, hours, used, change, groups);
  let best = attempt(new Set(lines.flatMap((line, i) => (line.strength > 0 ? i : []))));
  for (let improved = change > 0; improved; ) {
    improved = false;
    const current = best;
    for (const i of current.used) {
      const without = attempt(new Set([...current.used].filter((k) => k !== i)));
      if (without.variance >= best.variance) continue;
      best = without;
      improved = true;
    }
  }
  return describe(lines, best.totals, change);
};

interface Split {
  readonly totals: readonly number[];
  readonly used: ReadonlySet<number>;
  readonly variance: number;
}

/** Fills the lines in `used`, first dropping those that get nothing, so that their change is not paid for. */
const split = (
  lines: readonly SubLine[],
  hours: number,
  used: ReadonlySet<number>,
  change: number,
  groups: ReadonlyMap<string, Group>,
): Split => {
  const open = new Set(used);
  let totals = lines.map(({ spent }) => spent);
  for (let round = 0; round <= used.size; round++) {
    const changes = (group?: string) =>
      change * [...open].filter((i) => group === undefined || groupOf(lines[i]!) === group).length;
    const limits = new Map([...groups].map(([g, { limit = hours }]) => [g, limit - changes(g)]));
    const closed = lines.map((line, i) => ({ ...fillLine(line), ...(open.has(i) ? {} : { room: 0 }) }));
    totals = fillGroups(closed, hours - changes(), timesUntilEnough(closed, limits, groups));
    totals = wholeSubs(lines, totals, { hours: hours - changes(), open, limits, groups });
    const idle = [...open].filter((i) => !(totals[i]! > lines[i]!.spent));
    if (idle.length === 0) break;
    for (const i of idle) open.delete(i);
  }
  return { totals, used: open, variance: varianceAfter(lines, totals) };
};

/** A line with its overhead as a cost. */
export const fillLine = (line: SubLine): GroupedLine => ({
  group: groupOf(line),
  spent: line.spent,
  strength: line.strength,
  cost: clockHours(line, 1),
  room: line.room,
});

const groupOf = ({ group = '' }: SubLine): string => group;

/** Limits of the groups, no longer than it takes until each is good enough. */
const timesUntilEnough = (
  lines: readonly GroupedLine[],
  limits: ReadonlyMap<string, number>,
  groups: ReadonlyMap<string, Group>,
): Map<string, number> =>
  new Map(
    [...limits].map(([group, limit]) => {
      const { enough } = groups.get(group)!;
      if (enough === undefined) return [group, limit];
      const own = lines.filter((line) => line.group === group);
      return [group, Math.min(limit, hoursToReach(own, enough) ?? limit)];
    }),
  );

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
