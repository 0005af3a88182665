import { type Allocation, allocate } from './allocate.ts';
import { hoursToReach } from './fill.ts';
import { fillLine } from './split.ts';
import { clockHours, type SubLine } from './subs.ts';

/**
 * The allocation that brings the variance down to `variance` in the fewest hours on the clock; nothing is added where
 * it is so low already, undefined where limits keep it from getting there. `change` as for `allocate`; lines are left
 * out where that saves time.
 */
export const soonest = (lines: readonly SubLine[], variance: number, change = 0): Allocation | undefined => {
  let best = attempt(lines, variance, change, new Set(lines.flatMap((line, i) => (line.strength > 0 ? i : []))));
  for (let improved = change > 0; improved; ) {
    improved = false;
    for (const i of best.used) {
      const without = attempt(lines, variance, change, new Set([...best.used].filter((k) => k !== i)));
      if (without.clock >= best.clock) continue;
      best = without;
      improved = true;
      break;
    }
  }
  if (!Number.isFinite(best.clock)) return undefined;
  if (best.clock === 0) return allocate(lines, 0);
  // Rounding to whole subs may need one more of each line; the goal stops it as soon as it is met.
  const rounding = lines.reduce(
    (sum, line) => sum + (line.sub === undefined ? 0 : clockHours(line, line.sub / 3600)),
    0,
  );
  return allocate(only(lines, best.used), best.clock + rounding, {
    change,
    groups: new Map([['', { enough: variance }]]),
  });
};

const only = (lines: readonly SubLine[], used: ReadonlySet<number>): SubLine[] =>
  lines.map((line, i) => ({ ...line, group: '', ...(used.has(i) ? {} : { room: 0 }) }));

const attempt = (lines: readonly SubLine[], variance: number, change: number, used: ReadonlySet<number>) => {
  const hours = hoursToReach(only(lines, used).map(fillLine), variance);
  const clock = hours === undefined ? Number.POSITIVE_INFINITY : hours === 0 ? 0 : hours + change * used.size;
  return { used, clock };
};
