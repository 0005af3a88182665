import { GOALS, type Goal } from '../../lib/hours/advice.ts';
import type { TargetWish } from '../../lib/hours/plan/target.ts';
import type { Box } from '../../lib/plane/box.ts';

/** A night to come: the date of its evening, and its hours dark enough to expose. */
export interface SeasonNight {
  readonly date: string;
  readonly dark: number;
}

/** What the user says about a target. */
export interface TargetPlan {
  readonly goal: Goal;
  /** The SNR of its feature to reach, where that is the goal. */
  readonly snr: number;
  /** Hours a night that it stands high enough; all night where absent. */
  readonly up?: number | undefined;
  /** The first and the last evening on which it may be exposed. */
  readonly from?: string | undefined;
  readonly to?: string | undefined;
  /** Most hours of each of its lines in all. */
  readonly cap?: number | undefined;
}

/** Nights to come, and what each target may have of them. */
export interface SeasonWish {
  readonly nights: readonly SeasonNight[];
  /** Minutes that each line used costs a night besides its subs, and seconds lost after each sub. */
  readonly change: number;
  readonly overhead: number;
  /** By the names of targets; a target that is not named has the usual plan. */
  readonly targets: Readonly<Record<string, TargetPlan>>;
}

export const USUAL: TargetPlan = { goal: 'luminance', snr: 5 };

/** Largest values that can be typed. */
export const MOST = { nights: 120, dark: 24, change: 60, overhead: 600, cap: 10_000, snr: 1000 } as const;

const DAY_MS = 86_400_000;
const DATE = /^\d{4}-\d{2}-\d{2}$/;

const isDate = (text: unknown): text is string =>
  typeof text === 'string' && DATE.test(text) && !Number.isNaN(Date.parse(text));

/** So many nights in a row from this date on. Nights that are there already keep their hours. */
export const nightsFrom = (
  first: string,
  count: number,
  dark: number,
  before: readonly SeasonNight[] = [],
): SeasonNight[] => {
  const start = Date.parse(first);
  return Array.from({ length: count }, (_, i) => {
    const date = new Date(start + i * DAY_MS).toISOString().slice(0, 10);
    return before.find((night) => night.date === date) ?? { date, dark };
  });
};

/** A week of nights from today on. */
export const freshSeason = (today: string): SeasonWish => ({
  nights: nightsFrom(today, 7, 6),
  change: 5,
  overhead: 10,
  targets: {},
});

const within = (value: unknown, low: number, high: number): number | undefined =>
  typeof value === 'number' && value >= low && value <= high ? value : undefined;

const objectIn = (kept: unknown): Record<string, unknown> =>
  typeof kept === 'object' && kept !== null ? (kept as Record<string, unknown>) : {};

const targetIn = (kept: unknown): TargetPlan => {
  const { goal, snr, up, from, to, cap } = objectIn(kept);
  return {
    goal: GOALS.find((one) => one === goal) ?? USUAL.goal,
    snr: within(snr, 0.1, MOST.snr) ?? USUAL.snr,
    up: within(up, 0, MOST.dark),
    from: isDate(from) ? from : undefined,
    to: isDate(to) ? to : undefined,
    cap: within(cap, 0, MOST.cap),
  };
};

/** The wishes in what was kept, which anyone may have changed; undefined where there is no night. */
export const checkedSeason = (kept: unknown): SeasonWish | undefined => {
  const { nights, change, overhead, targets } = objectIn(kept);
  const good = (Array.isArray(nights) ? nights.slice(0, MOST.nights) : []).flatMap((one): SeasonNight[] => {
    const { date, dark } = objectIn(one);
    const hours = within(dark, 0, MOST.dark);
    return isDate(date) && hours !== undefined ? [{ date, dark: hours }] : [];
  });
  const [first] = good;
  if (first === undefined) return undefined;
  return {
    // In a row and each once, whatever was kept.
    nights: nightsFrom(first.date, good.length, first.dark, good),
    change: within(change, 0, MOST.change) ?? 0,
    overhead: within(overhead, 0, MOST.overhead) ?? 0,
    targets: Object.fromEntries(
      Object.entries(objectIn(targets))
        .slice(0, 200)
        .map(([name, plan]) => [name.slice(0, 200), targetIn(plan)]),
    ),
  };
};

const hours = (value: number): string => `${Number(value.toFixed(3))}h`;

/** Nights that have dark hours, as a plan writes them. */
export const writtenNights = ({ nights }: SeasonWish): { date: string; dark: string }[] =>
  nights.filter(({ dark }) => dark > 0).map(({ date, dark }) => ({ date, dark: hours(dark) }));

/** A target's plan as a plan writes it. Without a box there is no SNR to reach: luminance is then planned for. */
export const writtenTarget = (
  name: string,
  { goal, snr, up, from, to, cap }: TargetPlan,
  nights: readonly { readonly date: string }[],
  feature: Box | undefined,
): TargetWish => ({
  name,
  ...(goal !== 'snr' ? { goal } : feature ? { goal, snr } : { goal: 'luminance' as const }),
  ...(up !== undefined && { up: hours(up) }),
  ...((from ?? to) !== undefined && {
    nights: nights.flatMap(({ date }) => (date >= (from ?? date) && date <= (to ?? date) ? [date] : [])),
  }),
  ...(cap !== undefined && { cap: hours(cap) }),
});
