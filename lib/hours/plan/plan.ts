import { csvText, placed } from '../../plane/csv.ts';
import { secondsOf } from '../duration.ts';
import { futureNoise, plannedPlace } from '../future.ts';
import { noiseFactors } from '../goal.ts';
import type { Quantity } from '../outputs.ts';
import { type PlannedNight, planNights } from './nights.ts';
import type { WrittenPlan } from './schema.ts';
import type { NightHours } from './season.ts';
import { type MeasuredTarget, quantityOf, targetState } from './target.ts';

/** What a target gets from all nights, and what it gains. */
export interface PlannedTarget {
  readonly name: string;
  readonly quantity: Quantity;
  readonly place: 'background' | 'box';
  readonly lines: readonly { readonly name: string; readonly hours: number; readonly added: number }[];
  /** Noise of the quantity for one pixel. */
  readonly before: number;
  readonly after: number;
  /** For the goal snr: of what `per` says. */
  readonly snr?: { readonly wanted: number; readonly before: number; readonly after: number };
}

export interface PlanResult {
  readonly nights: readonly PlannedNight[];
  readonly targets: readonly PlannedTarget[];
}

/**
 * Hours by target and line for the nights of a plan. `measured` holds the plan's targets in its order.
 * @throws LinewashError 'input' as `targetState` does.
 */
export const planHours = (
  plan: Pick<WrittenPlan, 'nights' | 'overhead' | 'change'>,
  measured: readonly MeasuredTarget[],
): PlanResult => {
  const overhead = plan.overhead === undefined ? undefined : secondsOf(plan.overhead)!;
  const change = plan.change === undefined ? 0 : secondsOf(plan.change)! / 3600;
  const nights = plan.nights.map(({ date, dark }): NightHours => ({ date, dark: secondsOf(dark)! / 3600 }));
  const states = measured.map((target) => targetState(target, overhead));
  const planned = planNights(states, nights, change);
  const targets = measured.map((target, t): PlannedTarget => {
    const added = planned.added[t]!;
    const { ledger, exposures } = target;
    const quantity = quantityOf(target.target);
    const place = plannedPlace(ledger);
    const before = place.noise[quantity];
    const after = futureNoise(place, noiseFactors(states[t]!.lines, added)).noise[quantity];
    return {
      name: target.target.name,
      quantity,
      place: ledger.box ? 'box' : 'background',
      lines: exposures.map(({ name, hours }, i) => ({ name, hours: hours!, added: added[i]! })),
      before,
      after,
      ...snrOf(target, states[t]!.lines, added, quantity),
    };
  });
  return { nights: planned.nights, targets };
};

const snrOf = (
  { target, ledger }: MeasuredTarget,
  lines: Parameters<typeof noiseFactors>[0],
  added: readonly number[],
  quantity: Quantity,
) => {
  if (target.snr === undefined || ledger.box === undefined) return {};
  const signal = Math.abs(ledger.box.signal[quantity]);
  const noise = (hours: readonly number[]) =>
    Math.sqrt(lines.reduce((sum, { strength, spent }, i) => sum + strength ** 2 / (spent + hours[i]!), 0));
  return {
    snr: { wanted: target.snr, before: signal / noise(lines.map(() => 0)), after: signal / noise(added) },
  };
};

/** A plan's nights as CSV: a row for each line of a target in a night. */
export const planCsv = ({ nights }: PlanResult): string =>
  csvText([
    ['night', 'target', 'line', 'subs', 'hours', 'clock_hours'],
    ...nights.flatMap(({ date, blocks }) =>
      blocks.map(({ target, line, subs, hours, clock }) => [date, target, line, subs, placed(hours), placed(clock)]),
    ),
  ]);
