import { inputError } from '../../plane/errors.ts';
import { secondsOf } from '../duration.ts';
import type { Exposure } from '../exposure.ts';
import { plannedPlace } from '../future.ts';
import { type LineWish, linesFor } from '../goal.ts';
import type { Ledger, LineStats } from '../ledger.ts';
import type { Quantity } from '../outputs.ts';
import { averaged, varianceFor } from '../snr.ts';
import type { PlanTarget } from './schema.ts';
import type { TargetState } from './season.ts';

/** What a plan says about a target, but for its masters and its mix. */
export type TargetWish = Omit<PlanTarget, 'masters' | 'recipe'>;

/** A target with what its masters told; arrays in the order of the ledger's lines. */
export interface MeasuredTarget {
  readonly target: TargetWish;
  readonly ledger: Ledger;
  readonly stats: readonly LineStats[];
  readonly exposures: readonly Exposure[];
}

/** One line's value where a plan gives one for all lines or by line. */
export const ofLine = (
  values: string | Readonly<Record<string, string>> | undefined,
  name: string,
): string | undefined => (typeof values === 'object' ? values[name] : values);

/** The quantity whose noise a target's hours lower. */
export const quantityOf = ({ goal = 'luminance', in: quantity = 'luminance' }: TargetWish): Quantity =>
  goal === 'snr' ? quantity : goal;

/**
 * A measured target as the planner takes it.
 * @throws LinewashError 'input' where hours are unknown, or the box does not stand out from the background.
 */
export const targetState = (
  { target, ledger, stats, exposures }: MeasuredTarget,
  overhead: number | undefined,
): TargetState => {
  const wishes = Object.fromEntries(exposures.map(({ name }) => [name, wishOf(target, name, overhead)]));
  const quantity = quantityOf(target);
  const plain = linesFor(plannedPlace(ledger), quantity, exposures, wishes);
  const boxes = stats.flatMap(({ box }) => box ?? []);
  const lines = target.per === 'box' && ledger.box ? averaged(plain, boxes) : plain;
  const enough = target.snr && ledger.box ? varianceFor(ledger.box, quantity, target.snr) : undefined;
  if (enough === 0)
    throw inputError(
      `${target.name}: the box does not stand out from the background in ${quantity}, so no SNR can be reached`,
      'draw the box on the feature, or name another quantity as "in"',
    );
  const up = target.up === undefined ? undefined : secondsOf(target.up)! / 3600;
  const { nights } = target;
  return {
    name: target.name,
    lines,
    enough,
    weight: target.weight ?? 1,
    up,
    open: (date) => nights === undefined || nights.includes(date),
  };
};

const wishOf = (target: TargetWish, name: string, overhead: number | undefined): LineWish => {
  const sub = ofLine(target.sub, name);
  const cap = ofLine(target.cap, name);
  return {
    ...(sub === undefined ? {} : { sub: secondsOf(sub)! }),
    ...(cap === undefined ? {} : { cap: secondsOf(cap)! / 3600 }),
    // An SNR is a matter of fact: weights have no part in it.
    ...(target.goal === 'snr' ? {} : { weight: target.lineWeight?.[name] }),
    overhead,
  };
};
