import { type Allocation, allocate } from '../allocate.ts';
import { varianceAfter } from '../fill.ts';
import type { Group } from '../split.ts';
import type { SubLine } from '../subs.ts';

/** A target as the planner takes it. */
export interface TargetState {
  readonly name: string;
  /** Lines with their strength in the unit of the target's goal. */
  readonly lines: readonly SubLine[];
  /** Variance that is low enough; no more time is given then. */
  readonly enough?: number | undefined;
  /** How much it counts beside the others. */
  readonly weight: number;
  /** Hours a night that it stands high enough. */
  readonly up?: number | undefined;
  /** Whether it may be exposed on a night. */
  open(date: string): boolean;
}

export interface NightHours {
  readonly date: string;
  readonly dark: number;
}

/** Nights to be planned for targets whose variance is counted relative to today's. */
export interface Season {
  readonly targets: readonly TargetState[];
  readonly nights: readonly NightHours[];
  /** Lines of all targets in units of their target's variance today, each with its target's number as group. */
  readonly lines: readonly SubLine[];
  readonly groups: ReadonlyMap<string, Group>;
}

/** What each line of the season gets in a night: hours in the order of `lines`, and the night's allocation. */
export interface NightShares extends Allocation {
  readonly hours: readonly number[];
}

export const seasonOf = (targets: readonly TargetState[], nights: readonly NightHours[]): Season => {
  const today = targets.map(({ lines }) =>
    varianceAfter(
      lines,
      lines.map(({ spent }) => spent),
    ),
  );
  const lines = targets.flatMap((target, t) =>
    target.lines.map(
      (line): SubLine => ({
        ...line,
        group: String(t),
        strength: today[t]! > 0 ? line.strength * Math.sqrt(target.weight / today[t]!) : 0,
      }),
    ),
  );
  const groups = new Map(
    targets.map(({ enough, weight, up }, t): [string, Group] => [
      String(t),
      { limit: up, ...(enough === undefined ? {} : { enough: (enough * weight) / today[t]! }) },
    ]),
  );
  return { targets, nights, lines, groups };
};

/** The best share of one night for lines that get these hours elsewhere. */
export const shareNight = (
  { targets, nights, lines, groups }: Season,
  night: number,
  others: readonly number[],
  change: number,
): NightShares => {
  const { date, dark } = nights[night]!;
  const open = lines.flatMap(({ group }, i) => (targets[Number(group)]!.open(date) ? i : []));
  const now = open.map((i): SubLine => {
    const line = lines[i]!;
    const room = line.room === undefined ? {} : { room: Math.max(0, line.room - others[i]!) };
    return { ...line, ...room, spent: line.spent + others[i]! };
  });
  const allocation = allocate(now, dark, { change, groups });
  const hours = lines.map(() => 0);
  for (const [k, i] of open.entries()) hours[i] = allocation.shares[k]!.added;
  return { ...allocation, hours };
};

/** The sum over targets of weight · variance / variance today. */
export const varianceOf = ({ lines }: Season, shares: readonly NightShares[]): number =>
  varianceAfter(
    lines,
    lines.map(({ spent }, i) => shares.reduce((sum, { hours }) => sum + hours[i]!, spent)),
  );
