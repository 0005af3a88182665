/** What the split of time must know of one line. */
export interface FillLine {
  /** Hours of exposure that count already. */
  readonly spent: number;
  /** Noise that this line alone brings after one hour, in the unit of the goal; ≥ 0. */
  readonly strength: number;
  /** Hours on the clock for one hour of exposure, ≥ 1; 1 where absent. */
  readonly cost?: number | undefined;
  /** Most hours that may be added; no limit where absent. */
  readonly room?: number | undefined;
}

const costOf = ({ cost = 1 }: FillLine): number => cost;
/** How fast a line's total rises with the water: Neyman's share, k/√cost. */
const rate = (line: FillLine): number => line.strength / Math.sqrt(costOf(line));
const topOf = ({ spent, room = Number.POSITIVE_INFINITY }: FillLine): number => spent + Math.max(0, room);
const totalAt = (line: FillLine, water: number): number =>
  rate(line) > 0 ? Math.min(topOf(line), Math.max(line.spent, water * rate(line))) : line.spent;
const clockAt = (lines: readonly FillLine[], water: number): number =>
  lines.reduce((sum, line) => sum + costOf(line) * (totalAt(line, water) - line.spent), 0);

/**
 * Total hours a line, after `hours` more on the clock, for which the variance Σ strength²/total is least.
 * Hours spent are kept, no line exceeds its room: total = λ·strength/√cost between those limits, with λ such that the
 * time is used up ("water-filling"; what no line can take stays unused). Exact: the time is piecewise linear in λ.
 * Sources: J. Neyman, J. R. Statist. Soc. 97:558, 1934; W. G. Cochran, Sampling Techniques, 3rd ed. 1977, 5.5 (costs);
 * the limits follow from the Karush–Kuhn–Tucker conditions.
 */
export const fill = (lines: readonly FillLine[], hours: number): number[] => {
  const moving = lines.filter((line) => rate(line) > 0 && topOf(line) > line.spent);
  if (moving.length === 0 || !(hours > 0)) return lines.map(({ spent }) => spent);
  const water = waterFor(moving, hours);
  return lines.map((line) => totalAt(line, water));
};

const waterFor = (lines: readonly FillLine[], hours: number): number => {
  const stops = lines
    .flatMap((line) => [line.spent / rate(line), topOf(line) / rate(line)])
    .filter(Number.isFinite)
    .sort((a, b) => a - b);
  let water = 0;
  let clock = 0;
  for (const stop of stops) {
    const next = clockAt(lines, stop);
    if (next >= hours) return water + ((hours - clock) * (stop - water)) / (next - clock);
    water = stop;
    clock = next;
  }
  const open = lines.filter((line) => !Number.isFinite(topOf(line)));
  const slope = open.reduce((sum, line) => sum + costOf(line) * rate(line), 0);
  // Without an open line the water has no end, and every line stands at its top.
  return water + (hours - clock) / slope;
};

/** Variance that lines bring after these total hours; lines without strength bring none, unexposed ones no end of it. */
export const varianceAfter = (lines: readonly FillLine[], totals: readonly number[]): number =>
  lines.reduce((sum, { strength }, i) => (strength > 0 ? sum + strength ** 2 / totals[i]! : sum), 0);

const MOST_HOURS = 1e6;

/**
 * Fewest hours on the clock after which the variance is no more than `variance`; 0 where it is so already, undefined
 * where limits (or 10⁶ hours) keep it from ever getting there.
 */
export const hoursToReach = (lines: readonly FillLine[], variance: number): number | undefined => {
  const after = (hours: number) => varianceAfter(lines, fill(lines, hours));
  if (after(0) <= variance) return 0;
  if (!(after(MOST_HOURS) <= variance)) return undefined;
  let low = 0;
  let high = MOST_HOURS;
  for (let round = 0; round < 200 && high - low > 1e-12 * high; round++) {
    const middle = (low + high) / 2;
    if (after(middle) <= variance) high = middle;
    else low = middle;
  }
  return high;
};
