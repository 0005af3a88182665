import type { NightHours, TargetState } from '../../lib/hours/plan/season.ts';

/**
 * The best plan of a small season, found another way than the planner's: every choice of lines for every night is tried,
 * and for each the hours follow exactly, as what lines may get together bounds a polymatroid, over which a separable
 * convex sum is least where the decomposition of H. Groenevelt (Eur. J. Oper. Res. 54:227, 1991) says. In hours, not subs.
 */
export interface Season {
  readonly targets: readonly TargetState[];
  readonly nights: readonly NightHours[];
  readonly change: number;
}

interface Line {
  readonly target: number;
  /** Its part of the sum after one hour, hours so far, hours on the clock for one of exposure, and clock hours at most. */
  readonly part: number;
  readonly spent: number;
  readonly cost: number;
  readonly room: number;
}

type Rank = (set: number) => number;

const bits = (set: number): number[] => {
  const found: number[] = [];
  for (let i = 0; set >> i > 0; i++) if ((set >> i) & 1) found.push(i);
  return found;
};
const count = (set: number): number => {
  let found = 0;
  for (let left = set; left > 0; left &= left - 1) found++;
  return found;
};

const linesOf = ({ targets }: Season): Line[] =>
  targets.flatMap((target, t) => {
    const today = target.lines.reduce((sum, { strength, spent }) => sum + strength ** 2 / spent, 0);
    return target.lines.map(({ strength, spent, room = Number.POSITIVE_INFINITY, sub, overhead = 0 }) => {
      const cost = sub === undefined ? 1 : (sub + overhead) / sub;
      return { target: t, part: (target.weight * strength ** 2) / today, spent, cost, room: room * cost };
    });
  });

const sumOf = (lines: readonly Line[], clock: ArrayLike<number>): number =>
  lines.reduce((sum, { part, spent, cost }, i) => sum + part / (spent + clock[i]! / cost), 0);

/** The sum that a plan reaches: today it is the sum of the weights. */
export const reached = ({ targets }: Season, added: readonly (readonly number[])[]): number =>
  targets.reduce((sum, { lines, weight }, t) => {
    const variance = (hours: readonly number[]) =>
      lines.reduce((all, { strength, spent }, i) => all + strength ** 2 / (spent + hours[i]!), 0);
    return sum + (weight * variance(added[t]!)) / variance(lines.map(() => 0));
  }, 0);

/** Water-filling of `hours` over the lines of a set, their room aside. */
const filled = (lines: readonly Line[], set: number, hours: number): Float64Array => {
  const members = bits(set);
  const at = (level: number, i: number) => {
    const { part, spent, cost } = lines[i]!;
    return Math.max(0, cost * (Math.sqrt(part / cost) * level - spent));
  };
  let [low, high] = [0, 1];
  const total = (level: number) => members.reduce((sum, i) => sum + at(level, i), 0);
  while (total(high) < hours && high < 1e9) high *= 2;
  for (let round = 0; round < 45; round++) {
    const middle = (low + high) / 2;
    if (total(middle) < hours) low = middle;
    else high = middle;
  }
  const clock = new Float64Array(lines.length);
  for (const i of members) clock[i] = at(high, i);
  return clock;
};

const subsets = function* (set: number): Generator<number> {
  for (let some = set; some > 0; some = (some - 1) & set) yield some;
};

/** The best hours where sets of lines get no more than their rank. */
const decomposed = (lines: readonly Line[], set: number, rank: Rank, into: Float64Array): void => {
  if (set === 0) return;
  const clock = filled(lines, set, rank(set));
  let [worst, most] = [0, 1e-7];
  for (const some of subsets(set)) {
    const over = bits(some).reduce((sum, i) => sum + clock[i]!, 0) - rank(some);
    if (over > most) [worst, most] = [some, over];
  }
  if (worst === 0 || worst === set) {
    for (const i of bits(set)) into[i] = clock[i]!;
    return;
  }
  decomposed(lines, worst, rank, into);
  decomposed(lines, set & ~worst, (some) => rank(some | worst) - rank(worst), into);
};

/** What sets of lines may get together on the clock, where each night is for some lines alone. */
const rankOf = (season: Season, lines: readonly Line[], nightly: readonly number[]): Rank => {
  const { nights, targets, change } = season;
  const masks = targets.map((_, t) => lines.reduce((set, line, i) => (line.target === t ? set | (1 << i) : set), 0));
  const flow = (set: number) =>
    nights.reduce((sum, { dark }, n) => {
      const byTarget = targets.reduce((all, { up = dark }, t) => {
        const used = nightly[n]! & masks[t]!;
        return all + ((used & set) === 0 ? 0 : Math.max(0, Math.min(up, dark) - change * count(used)));
      }, 0);
      return sum + Math.min(Math.max(0, dark - change * count(nightly[n]!)), byTarget);
    }, 0);
  const known = new Map<number, number>();
  return (set) => {
    const before = known.get(set);
    if (before !== undefined) return before;
    let least = bits(set).reduce((sum, i) => sum + lines[i]!.room, 0);
    for (const some of subsets(set))
      least = Math.min(least, flow(some) + bits(set & ~some).reduce((sum, i) => sum + lines[i]!.room, 0));
    known.set(set, least);
    return least;
  };
};

/** The least sum that any plan of the season reaches. */
export const bestOf = (season: Season): number => {
  const lines = linesOf(season);
  const { nights, targets, change } = season;
  const options = nights.map(({ date, dark }) => {
    const open = lines.reduce((set, line, i) => (targets[line.target]!.open(date) ? set | (1 << i) : set), 0);
    return [...subsets(open), 0].filter((set) => count(set) * change < dark);
  });
  let best = reached(
    season,
    targets.map(({ lines: own }) => own.map(() => 0)),
  );
  const dark = nights.reduce((sum, night) => sum + night.dark, 0);
  const bounds = new Map<number, number>();
  /** No plan with these lines and so many changes is better than one whose lines share all the time left freely. */
  const bound = (used: number, changes: number): number => {
    const key = used * 64 + changes;
    const known = bounds.get(key) ?? sumOf(lines, filled(lines, used, dark - change * changes));
    bounds.set(key, known);
    return known;
  };
  const visit = (nightly: number[], used: number, changes: number): void => {
    if (nightly.length < nights.length) {
      for (const set of options[nightly.length]!) visit([...nightly, set], used | set, changes + count(set));
      return;
    }
    if (used === 0 || bound(used, changes) >= best) return;
    const rank = rankOf(season, lines, nightly);
    if (sumOf(lines, filled(lines, used, rank(used))) >= best) return;
    const clock = new Float64Array(lines.length);
    decomposed(lines, used, rank, clock);
    best = Math.min(best, sumOf(lines, clock));
  };
  visit([], 0, 0);
  return best;
};
