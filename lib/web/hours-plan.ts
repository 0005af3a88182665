import { adviseHours, type Goal, type HoursAdvice, type HoursWish } from '../hours/advice.ts';
import type { Exposure } from '../hours/exposure.ts';
import { noiseByHours, noiseByHoursOf, plannedPlace } from '../hours/future.ts';
import { type LineWish, linesFor } from '../hours/goal.ts';
import type { Ledger } from '../hours/ledger.ts';
import { type PlannedNight, planNights } from '../hours/plan/nights.ts';
import type { LineSurvey } from '../hours/survey.ts';
import { LinewashError } from '../plane/errors.ts';

/** What to improve with future hours, and how they may be split. */
export interface HoursWishes {
  readonly goal: Goal;
  /** The SNR of luminance to reach in the box, where that is the goal: `more` does not count then. */
  readonly snr?: number | undefined;
  /** Hours on the clock to be split, in so many nights of equal length, and where the curves end. */
  readonly more: number;
  readonly nights?: number | undefined;
  readonly until: number;
  /** Minutes that each line used costs a night besides its subs. */
  readonly change?: number | undefined;
  /** Most hours of a line in all. */
  readonly caps?: Readonly<Record<string, number>> | undefined;
}

/** The noise of the goal's quantity by hours added, to one line alone or, where none is named, split best. */
export interface HoursCurve {
  readonly line?: string;
  readonly points: readonly { readonly hours: number; readonly noise: number }[];
}

export interface HoursPlan {
  readonly advice: HoursAdvice;
  readonly curves: readonly HoursCurve[];
  /** What each night is for, where there are several. */
  readonly nights?: readonly PlannedNight[];
  /** Why the goal cannot be planned for, with what to do; the advice is then for luminance. */
  readonly fault?: { readonly words: string; readonly advice?: string | undefined };
}

/** Steps from one end of a curve to the other. */
const STEPS = 60;

/**
 * Where the hours to come do most good, as `linewash hours` says it.
 * @throws LinewashError 'input' where the hours of a line that matters are not known.
 */
export const planFor = (
  ledger: Ledger,
  surveys: readonly LineSurvey[],
  exposures: readonly Exposure[],
  wishes: HoursWishes,
): HoursPlan => {
  const { more, nights = 1, until, caps = {} } = wishes;
  const lineWishes = Object.fromEntries(Object.entries(caps).map(([name, cap]): [string, LineWish] => [name, { cap }]));
  const night = (wishes.change ?? 0) / 60;
  const usual = { lines: lineWishes, change: night * nights, more };
  const { advice, fault } = advised(ledger, surveys, exposures, wishes, usual);
  const place = plannedPlace(ledger);
  const lines = linesFor(place, advice.quantity, exposures, lineWishes);
  const hours = Array.from({ length: STEPS + 1 }, (_, i) => (i * until) / STEPS);
  const alone = lines.map(({ name }) => ({
    line: name,
    points: noiseByHoursOf(place, advice.quantity, lines, name, hours),
  }));
  const best = noiseByHours(place, advice.quantity, lines, hours, { change: usual.change });
  const state = { name: '', lines, weight: 1, open: () => true };
  const dark = Array.from({ length: nights }, (_, i) => ({ date: String(i + 1), dark: more / nights }));
  return {
    advice,
    curves: [...alone, { points: best }],
    ...(nights > 1 && advice.goal !== 'snr' && { nights: planNights([state], dark, night).nights }),
    ...(fault && { fault }),
  };
};

const advised = (
  ledger: Ledger,
  surveys: readonly LineSurvey[],
  exposures: readonly Exposure[],
  { goal, snr }: HoursWishes,
  usual: Omit<HoursWish, 'goal'>,
): Pick<HoursPlan, 'advice' | 'fault'> => {
  if (goal !== 'snr') return { advice: adviseHours(ledger, surveys, exposures, { ...usual, goal }) };
  const plain = { ...usual, goal: 'luminance' as const };
  // Without a box there is nothing to reach; the page says how to mark one.
  if (ledger.box === undefined) return { advice: adviseHours(ledger, surveys, exposures, plain) };
  try {
    return { advice: adviseHours(ledger, surveys, exposures, { ...usual, goal, snr, more: undefined }) };
  } catch (error) {
    if (!(error instanceof LinewashError)) throw error;
    const fault = { words: error.message, advice: error.advice };
    return { advice: adviseHours(ledger, surveys, exposures, plain), fault };
  }
};
