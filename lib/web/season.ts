import { type PlanResult, planHours } from '../hours/plan/plan.ts';
import type { WrittenPlan } from '../hours/plan/schema.ts';
import { type MeasuredTarget, type TargetWish, targetState } from '../hours/plan/target.ts';
import { LinewashError } from '../plane/errors.ts';
import type { NoiseOfMix } from '../work/noise.ts';
import type { NoiseQuestion } from './noise-question.ts';
import type { CallContext } from './wire/rpc.ts';

/** A target of a season: its masters and its mix, and what the plan says about it. */
export interface SeasonTarget extends NoiseQuestion {
  readonly wish: TargetWish;
}

/** Nights to be split over targets. */
export interface SeasonQuestion extends Pick<WrittenPlan, 'nights' | 'overhead' | 'change'> {
  readonly targets: readonly SeasonTarget[];
}

export interface SeasonAnswer extends PlanResult {
  readonly warnings: readonly string[];
}

/**
 * Measures the masters of each target and splits the nights, as `linewash hours --plan` does.
 * @throws LinewashError 'input', which begins with the name of the target that is at fault.
 */
export const planSeason = async (
  look: (question: NoiseQuestion, context: CallContext) => Promise<NoiseOfMix>,
  { targets, ...plan }: SeasonQuestion,
  { signal, progress }: CallContext,
): Promise<SeasonAnswer> => {
  const measured: MeasuredTarget[] = [];
  const warnings: string[] = [];
  for (const [i, { wish, ...question }] of targets.entries()) {
    const share = (done: number) => progress((i + done) / targets.length);
    const found = await look(question, { signal, progress: share }).catch((error) => {
      throw named(wish.name, error);
    });
    const { ledger, surveys, exposures } = found;
    const target = { target: wish, ledger, stats: surveys, exposures };
    try {
      // Whatever keeps it from being planned for is said of it by name.
      targetState(target, undefined);
    } catch (error) {
      throw named(wish.name, error);
    }
    measured.push(target);
    warnings.push(...found.warnings.map((warning) => `${wish.name}: ${warning}`));
  }
  return { ...planHours(plan, measured), warnings };
};

/** A fault with the name of the target before it. */
const named = (target: string, error: unknown): unknown => {
  if (!(error instanceof LinewashError) || error.tag === 'cancelled') return error;
  const words = error.message.startsWith(`${target}: `) ? error.message : `${target}: ${error.message}`;
  return new LinewashError({ ...error.toFields(), message: words });
};
