import type { Measured } from '../plane/measured.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { withoutStarList } from '../recipe/settle/without-list.ts';
import { plainRecipe } from '../recipe/written/plain.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { type NoiseOfMix, type NoiseWish, noiseOfMix } from '../work/noise.ts';
import { withLines } from './masters/file-lines.ts';
import { inputsFor } from './masters/inputs-for.ts';
import { withExecutor } from './threads/executor.ts';

export interface LedgerOptions extends NoiseWish {
  readonly recipe: WrittenRecipe;
  /** Channel name → file, with an optional selector. */
  readonly inputs: Readonly<Record<string, string>>;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the stage and the share of it that is done, 0…1. */
  readonly progress?: ((stage: 'measure' | 'survey', done: number) => void) | undefined;
}

/** The ledger of a recipe on files, with all that planning hours needs. */
export interface LedgerFiles extends Omit<NoiseOfMix, 'mix'> {
  readonly settled: Settled;
  readonly measured: readonly Measured[];
}

/**
 * Settles a recipe on masters, measures their noise and carries it through the recipe.
 * @throws LinewashError 'input', 'format' or 'recipe' naming the file at fault.
 */
export const ledgerFiles = async ({ recipe, inputs, apart, signal, ...wish }: LedgerOptions): Promise<LedgerFiles> => {
  const plain = await plainRecipe(recipe);
  return withExecutor(signal, (executor) =>
    // The noise of every master is measured, whatever the recipe states: what does not fit shows on the way.
    withLines(inputsFor(plain, inputs), { apart, signal, executor, depth: 'pictures' }, async (lines) => {
      const { mix, ...found } = await noiseOfMix(lines, plain, wish, {
        signal,
        progress: (done) => wish.progress?.('measure', done),
        surveying: (done) => wish.progress?.('survey', done),
      });
      const { settled, measured } = mix;
      return { ...found, settled: withoutStarList(settled), measured, warnings: [...mix.warnings, ...found.warnings] };
    }),
  );
};
