import { inputError, LinewashError } from '../plane/errors.ts';
import { type Allocation, allocate } from './allocate.ts';
import type { Exposure } from './exposure.ts';
import { addedBy, type FutureNoise, futureNoise, plannedPlace } from './future.ts';
import { type LineWish, linesFor, noiseFactors } from './goal.ts';
import type { Ledger, LedgerPlace, LineStats } from './ledger.ts';
import type { Quantity } from './outputs.ts';
import { averaged, hoursToSnr, type SnrOf, type SnrStep, varianceFor } from './snr.ts';
import { soonest } from './soonest.ts';
import { clockHours, type SubLine } from './subs.ts';

/** What to improve with the next hours: least luminance noise, least noise of all colours, or a feature's SNR. */
export type Goal = 'luminance' | 'colour' | 'snr';

export const GOALS: readonly Goal[] = ['luminance', 'colour', 'snr'];

/** What to plan the hours for, and how many there are. */
export interface HoursWish {
  readonly goal: Goal;
  /** Hours on the clock to be split. */
  readonly more?: number | undefined;
  /** For the goal `snr`: the SNR wanted, in which quantity (luminance where absent), of what (pixel where absent). */
  readonly snr?: number | undefined;
  readonly quantity?: Quantity | undefined;
  readonly per?: SnrOf | undefined;
  /** Wishes by line; their weights do not count for an SNR. */
  readonly lines?: Readonly<Record<string, LineWish>> | undefined;
  /** Hours on the clock that each line used costs besides its subs. */
  readonly change?: number | undefined;
}

/** What the parts of a wish are called where they are given. */
export interface WishNames extends Readonly<Record<(typeof ABOUT_SNR)[number], string>> {
  /** How the goal snr is chosen. */
  readonly goal: string;
}

const ABOUT_SNR = ['snr', 'quantity', 'per'] as const;

const OWN_NAMES: WishNames = { snr: 'snr', quantity: 'quantity', per: 'per', goal: 'the goal snr with a box' };

/**
 * What the hours are for: as said, else an SNR where something is said about one, else least luminance noise.
 * @throws LinewashError 'usage' where something is said about an SNR and another goal is named.
 */
export const goalOf = (
  { goal, ...wish }: Pick<HoursWish, 'snr' | 'quantity' | 'per'> & { readonly goal?: Goal | undefined },
  names: WishNames = OWN_NAMES,
): Goal => {
  const about = ABOUT_SNR.find((key) => wish[key] !== undefined);
  if (about === undefined) return goal ?? 'luminance';
  if (goal === undefined || goal === 'snr') return 'snr';
  throw new LinewashError({
    tag: 'usage',
    message: `${names[about]} is about an SNR, but the goal is ${goal}`,
    advice: `leave out ${names[about]}, or use ${names.goal}`,
  });
};

/** What is to be gained by further hours, and how to split them between the lines. */
export interface HoursAdvice {
  readonly goal: Goal;
  readonly quantity: Quantity;
  readonly place: 'background' | 'box';
  /** Share by which the quantity's noise falls if a line alone gets one more hour. */
  readonly nextHour: readonly number[];
  /** The split, and the noise after it; absent where neither hours nor an SNR to reach are given. */
  readonly allocation?: Allocation;
  readonly future?: FutureNoise;
  /** The same hours in equal shares of time, for comparison; absent where nothing is added. */
  readonly equal?: FutureNoise;
  /** Hours to some SNR; absent without a box. */
  readonly steps?: readonly SnrStep[];
}

/** SNRs of a faint feature: just there, safe, clean. Common practice. */
export const SNR_STEPS: readonly number[] = [3, 5, 10];

/**
 * Where the next hours do most good for one mix: at the box where there is one, at the background else.
 * `exposures` and `stats` are in the order of the ledger's lines.
 * @throws LinewashError 'input' where the hours of a line are unknown, a goal needs a box, or an SNR is out of reach.
 */
export const adviseHours = (
  ledger: Ledger,
  stats: readonly LineStats[],
  exposures: readonly Exposure[],
  wish: HoursWish,
): HoursAdvice => {
  const { goal, change = 0 } = wish;
  if (goal === 'snr' && ledger.box === undefined)
    throw inputError('the goal snr needs a box around a feature', 'give the box', undefined, { option: 'box' });
  const quantity = goal === 'snr' ? (wish.quantity ?? 'luminance') : goal;
  const place = plannedPlace(ledger);
  const boxes = stats.flatMap(({ box }) => box ?? []);
  const linesWith = (wishes: HoursWish['lines']) => {
    const plain = linesFor(place, quantity, exposures, wishes);
    return wish.per === 'box' && ledger.box ? averaged(plain, boxes) : plain;
  };
  const unweighted = linesWith(withoutWeights(wish.lines));
  const lines = goal === 'snr' ? unweighted : linesWith(wish.lines);
  const allocation = allocationFor(ledger, lines, quantity, wish);
  const steps = ledger.box && hoursToSnr(ledger.box, quantity, unweighted, SNR_STEPS, change);
  return {
    goal,
    quantity,
    place: ledger.box ? 'box' : 'background',
    nextHour: lines.map((_, i) => fall(place, quantity, noiseFactors(lines, oneHour(lines, i)))),
    ...(allocation && { allocation, future: futureNoise(place, noiseFactors(lines, addedBy(allocation))) }),
    ...(allocation && allocation.clock > 0 && { equal: equalShares(place, lines, allocation.clock, change) }),
    ...(steps && { steps }),
  };
};

/** An SNR is a matter of fact: weights have no part in it. */
const withoutWeights = (wishes: HoursWish['lines'] = {}): Record<string, LineWish> =>
  Object.fromEntries(Object.entries(wishes).map(([name, wish]) => [name, { ...wish, weight: undefined }]));

const oneHour = (lines: readonly SubLine[], index: number): number[] => lines.map((_, i) => (i === index ? 1 : 0));

const fall = (place: LedgerPlace, quantity: Quantity, factors: readonly number[]): number =>
  place.noise[quantity] > 0 ? 1 - futureNoise(place, factors).noise[quantity] / place.noise[quantity] : 0;

const allocationFor = (
  { box }: Ledger,
  lines: readonly SubLine[],
  quantity: Quantity,
  { goal, more, snr, change = 0 }: HoursWish,
): Allocation | undefined => {
  const enough = goal === 'snr' && snr !== undefined && box ? varianceFor(box, quantity, snr) : undefined;
  if (more !== undefined)
    return allocate(lines, more, { change, ...(enough === undefined ? {} : { groups: new Map([['', { enough }]]) }) });
  if (enough === undefined) return undefined;
  const found = enough > 0 ? soonest(lines, enough, change) : undefined;
  if (found === undefined)
    throw inputError(
      `an SNR of ${snr} in ${quantity} cannot be reached in this box`,
      'choose a box that stands out from the background, a lower SNR or higher caps',
    );
  return found;
};

/** The noise if the same time on the clock went to all lines in equal shares. */
const equalShares = (place: LedgerPlace, lines: readonly SubLine[], clock: number, change: number): FutureNoise => {
  const each = Math.max(0, clock / lines.length - change);
  const added = lines.map((line) => each / clockHours(line, 1));
  return futureNoise(place, noiseFactors(lines, added));
};
