import type { Cell } from '../hours/immerkaer.ts';
import { type SurveyedChannels, surveyChannels } from '../hours/survey-channels.ts';
import type { Executor } from '../plane/executor.ts';
import type { Measured } from '../plane/measured.ts';
import { inHalves } from '../plane/progress.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { inputsFor } from './masters/inputs-for.ts';
import { closeMasters, openMasters } from './masters/masters.ts';
import { settleMasters } from './masters/settle-masters.ts';
import { withExecutor } from './threads/executor.ts';

export interface LedgerOptions {
  readonly recipe: Recipe;
  /** Channel name → file, with an optional selector. */
  readonly inputs: Readonly<Record<string, string>>;
  /** Hours by channel (`*` for all others) that stand instead of the header's. */
  readonly time?: Readonly<Record<string, number>> | undefined;
  readonly box?: Cell | undefined;
  readonly background?: Cell | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the stage and the share of it that is done, 0…1. */
  readonly progress?: ((stage: 'measure' | 'survey', done: number) => void) | undefined;
}

/** The ledger of a recipe on files, with all that planning hours needs. */
export interface LedgerFiles extends SurveyedChannels {
  readonly settled: Settled;
  readonly measured: readonly Measured[];
}

/**
 * Settles a recipe on masters, measures their noise and carries it through the recipe.
 * @throws LinewashError 'input', 'format' or 'recipe' naming the file at fault.
 */
export const ledgerFiles = (options: LedgerOptions): Promise<LedgerFiles> =>
  withExecutor(options.signal, (executor) => ledgerTogether(options, executor));

const ledgerTogether = async (options: LedgerOptions, executor: Executor): Promise<LedgerFiles> => {
  const { recipe, signal } = options;
  const [opening, measuring] = inHalves((done) => options.progress?.('measure', done));
  const common = { signal, executor };
  const opened = { zeros: recipe.zeros, apart: options.apart, ...common, progress: opening };
  const masters = await openMasters(inputsFor(recipe, options.inputs), opened);
  try {
    const { settled, measured, prepared, warnings } = await settleMasters(recipe, masters, {
      ...common,
      // The noise of every master is measured, whatever the recipe states.
      depth: 'pictures',
      progress: measuring,
    });
    const surveyed = await surveyChannels(settled, measured, prepared, {
      ...options,
      progress: (done) => options.progress?.('survey', done),
    });
    return { ...surveyed, settled, measured, warnings: [...warnings, ...surveyed.warnings] };
  } finally {
    await closeMasters(masters);
  }
};
