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

/** Total hours by line, the lines that get some, and the variance then. */
export interface Split {
  readonly totals: readonly number[];
  readonly used: ReadonlySet<number>;
  readonly variance: number;
}

/**
 * Fills the lines in `used` and touches no other; those that get nothing are dropped, so that their change is not paid
 * for. Only the groups of these lines are looked at: of a plan with many targets, a night uses few.
 */
export const split = (
  lines: readonly SubLine[],
  hours: number,
  used: ReadonlySet<number>,
  change: number,
  groups: ReadonlyMap<string, Group>,
): Split => {
  const concerned = new Set([...used].map((i) => groupOf(lines[i]!)));
  const near = [...lines.keys()].filter((i) => concerned.has(groupOf(lines[i]!)));
  const open = new Set(near.flatMap((i, k) => (used.has(i) ? k : [])));
  const limits = new Map([...groups].filter(([name]) => concerned.has(name)));
  const filled = fillOpen(
    near.map((i) => lines[i]!),
    hours,
    open,
    change,
    limits,
  );
  const totals = lines.map(({ spent }) => spent);
  for (const [k, i] of near.entries()) totals[i] = filled[k]!;
  return { totals, used: new Set([...open].map((k) => near[k]!)), variance: varianceAfter(lines, totals) };
};

/** Total hours when the lines in `open` share the time; those that get nothing are taken out of it. */
const fillOpen = (
  lines: readonly SubLine[],
  hours: number,
  open: Set<number>,
  change: number,
  groups: ReadonlyMap<string, Group>,
): number[] => {
  for (;;) {
    const changes = (group?: string) =>
      change * [...open].filter((i) => group === undefined || groupOf(lines[i]!) === group).length;
    const limits = new Map([...groups].map(([g, { limit = hours }]) => [g, limit - changes(g)]));
    const closed = lines.map((line, i) => ({ ...fillLine(line), ...(open.has(i) ? {} : { room: 0 }) }));
    const exact = fillGroups(closed, hours - changes(), timesUntilEnough(closed, limits, groups));
    const totals = wholeSubs(lines, exact, { hours: hours - changes(), open, limits, groups });
    const idle = [...open].filter((i) => !(totals[i]! > lines[i]!.spent));
    if (idle.length === 0) return totals;
    for (const i of idle) open.delete(i);
  }
};

/** A line with its overhead as a cost. */
export const fillLine = (line: SubLine): GroupedLine => ({
  group: groupOf(line),
  spent: line.spent,
  strength: line.strength,
  cost: clockHours(line, 1),
  room: line.room,
});

export const groupOf = ({ group = '' }: SubLine): string => group;

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
