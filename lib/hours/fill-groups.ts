import { type FillLine, fill } from './fill.ts';

/** A line that belongs to a group (a target) whose lines share a limit of time. */
export interface GroupedLine extends FillLine {
  readonly group: string;
}

/**
 * `fill` where no group may take more than its limit of hours on the clock (a group without limit may take all).
 * Groups that would take more get their limit, split best among their own lines; the others share the rest. Giving a
 * group less never lowers the water for the others, so a group once limited stays so, and the result is the optimum.
 */
export const fillGroups = (
  lines: readonly GroupedLine[],
  hours: number,
  limits: ReadonlyMap<string, number>,
): number[] => {
  const totals = lines.map(({ spent }) => spent);
  let open = lines.map((_, i) => i);
  let left = hours;
  for (;;) {
    const filled = fill(
      open.map((i) => lines[i]!),
      left,
    );
    for (const [k, i] of open.entries()) totals[i] = filled[k]!;
    const over = overfull(lines, open, totals, limits);
    if (over.size === 0) return totals;
    for (const group of over) {
      const own = open.filter((i) => lines[i]!.group === group);
      const limit = Math.max(0, limits.get(group)!);
      const best = fill(
        own.map((i) => lines[i]!),
        limit,
      );
      for (const [k, i] of own.entries()) totals[i] = best[k]!;
      left -= limit;
    }
    open = open.filter((i) => !over.has(lines[i]!.group));
  }
};

const overfull = (
  lines: readonly GroupedLine[],
  open: readonly number[],
  totals: readonly number[],
  limits: ReadonlyMap<string, number>,
): Set<string> => {
  const taken = new Map<string, number>();
  for (const i of open) {
    const { group, spent, cost = 1 } = lines[i]!;
    taken.set(group, (taken.get(group) ?? 0) + cost * (totals[i]! - spent));
  }
  return new Set(
    [...taken].filter(([group, time]) => time > Math.max(0, limits.get(group) ?? time) + 1e-9).map(([g]) => g),
  );
};
