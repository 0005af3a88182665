import { type FillLine, varianceAfter } from './fill.ts';

/** A line to be exposed in subs. */
export interface SubLine extends Omit<FillLine, 'cost'> {
  readonly name: string;
  /** The target it belongs to, where there are several. */
  readonly group?: string | undefined;
  /** Seconds of one sub, and seconds lost after each (readout, dither). Without a length hours are not rounded. */
  readonly sub?: number | undefined;
  readonly overhead?: number | undefined;
}

/** Hours on the clock for so many hours of exposure. */
export const clockHours = ({ sub, overhead = 0 }: SubLine, exposure: number): number =>
  sub === undefined ? exposure : (exposure * (sub + overhead)) / sub;

export interface WholeSubsOptions {
  /** Hours on the clock for all lines together. */
  readonly hours: number;
  /** Lines that may get subs. */
  readonly open: ReadonlySet<number>;
  /** Hours on the clock by group. */
  readonly limits: ReadonlyMap<string, number>;
  /** Variance by group that is low enough. */
  readonly groups: ReadonlyMap<string, { readonly enough?: number | undefined }>;
}

/** Keeps sums of times from failing a limit by rounding. */
const SLACK = 1e-9;

/**
 * Rounds totals (hours) to whole subs beyond what is spent: down, less one, then sub by sub to where the variance
 * falls most for the time. For equal subs that greedy order is optimal (B. Fox, Management Science 13(3) 210, 1966).
 */
export const wholeSubs = (
  lines: readonly SubLine[],
  totals: readonly number[],
  options: WholeSubsOptions,
): number[] => {
  const result = lines.map((line, i) => {
    if (line.sub === undefined) return totals[i]!;
    const hours = line.sub / 3600;
    const whole = Math.floor((totals[i]! - line.spent) / hours + SLACK);
    return line.spent + Math.max(0, whole - 1) * hours;
  });
  for (;;) {
    const next = bestSub(lines, result, options);
    if (next === undefined) return result;
    result[next]! += lines[next]!.sub! / 3600;
  }
};

/** The line whose next sub lowers the variance most for its time, among those that may have one. */
const bestSub = (
  lines: readonly SubLine[],
  totals: readonly number[],
  { hours, open, limits, groups }: WholeSubsOptions,
): number | undefined => {
  const added = (i: number) => clockHours(lines[i]!, totals[i]! - lines[i]!.spent);
  const inGroup = (group: string) => [...lines.keys()].filter((i) => (lines[i]!.group ?? '') === group);
  const time = (indices: readonly number[]) => indices.reduce((sum, i) => sum + added(i), 0);
  const free = hours - time([...lines.keys()]);
  let best: number | undefined;
  let most = 0;
  for (const i of open) {
    const { group = '', sub, strength, spent, room = Number.POSITIVE_INFINITY } = lines[i]!;
    if (sub === undefined || totals[i]! - spent + sub / 3600 > room + SLACK) continue;
    const clock = clockHours(lines[i]!, sub / 3600);
    const members = inGroup(group);
    const left = (limits.get(group) ?? hours) - time(members);
    if (clock > free + SLACK || clock > left + SLACK) continue;
    const { enough = 0 } = groups.get(group) ?? {};
    const variance = varianceAfter(
      members.map((k) => lines[k]!),
      members.map((k) => totals[k]!),
    );
    if (variance <= enough) continue;
    const gain = (strength ** 2 / totals[i]! - strength ** 2 / (totals[i]! + sub / 3600)) / clock;
    if (gain > most) {
      most = gain;
      best = i;
    }
  }
  return best;
};
