import type { Allocation } from './allocate.ts';
import type { BoxReading, LedgerBox } from './ledger.ts';
import type { Quantity } from './outputs.ts';
import { soonest } from './soonest.ts';
import type { SubLine } from './subs.ts';

/** What the noise in an SNR is of: one pixel, or the mean of the whole box. */
export type SnrOf = 'pixel' | 'box';

/** A signal-to-noise ratio, and the hours that it takes. */
export interface SnrStep {
  readonly snr: number;
  /** The hours that get there soonest, nothing added where it is reached; undefined where limits forbid it. */
  readonly allocation: Allocation | undefined;
}

/** The variance at which the box's signal in a quantity stands at this SNR. */
export const varianceFor = (box: LedgerBox, quantity: Quantity, snr: number): number =>
  (box.signal[quantity] / snr) ** 2;

/** Lines with the strength that they have in the mean of the box rather than in one of its pixels. */
export const averaged = (lines: readonly SubLine[], boxes: readonly Pick<BoxReading, 'pixels' | 'area'>[]): SubLine[] =>
  lines.map((line, i) => ({
    ...line,
    strength: (line.strength * boxes[i]!.area) / Math.sqrt(Math.max(1, boxes[i]!.pixels)),
  }));

/**
 * How many hours, and on which lines, until the box reaches each SNR in this mix. The signal is the box's as measured:
 * where it is no larger than its own uncertainty, so are these hours.
 */
export const hoursToSnr = (
  box: LedgerBox,
  quantity: Quantity,
  lines: readonly SubLine[],
  snrs: readonly number[],
  change = 0,
): SnrStep[] =>
  snrs.map((snr) => {
    if (box.signal[quantity] === 0) return { snr, allocation: undefined };
    return { snr, allocation: soonest(lines, varianceFor(box, quantity, snr), change) };
  });
