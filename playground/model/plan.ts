import type { Goal } from '../../lib/hours/advice.ts';
import type { Box } from '../../lib/plane/box.ts';
import type { Rings } from '../../lib/plane/outline.ts';

/** All that the user says about hours, beside what headers say. */
export interface Plan {
  readonly goal: Goal;
  /** The SNR to reach, where that is the goal. */
  readonly snr: number;
  /** Hours to come, on the clock, and into how many nights they fall. */
  readonly more: number;
  readonly nights: number;
  /** Minutes that each line used costs a night besides its subs. */
  readonly change: number;
  /** Hours so far that were typed in, by the name of the file; they stand instead of the header's. */
  readonly typed: Readonly<Record<string, number>>;
  /** Most hours of a line in all, by line. */
  readonly caps: Readonly<Record<string, number>>;
  /** The feature whose SNR is looked at, and for which hours are then planned; the background where there is none. */
  readonly feature?: Box | undefined;
  /** The feature as an area inside its box, against a ring around it. */
  readonly outline?: Rings | undefined;
}

export const NO_PLAN: Plan = { goal: 'luminance', snr: 5, more: 10, nights: 1, change: 0, typed: {}, caps: {} };

/** Largest values that can be typed. */
export const MOST = { hours: 10_000, nights: 366, change: 60, snr: 1000 } as const;
