import type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';
import { type HeldLines, holdPlaces, type PlaceWish } from '../work/hold.ts';
import { withLines } from './masters/file-lines.ts';
import { inputsFor } from './masters/inputs-for.ts';
import { withExecutor } from './threads/executor.ts';

export interface HoldOptions {
  readonly recipe: WrittenRecipe;
  /** The same recipe with every weight a number. */
  readonly plain: Recipe;
  readonly places: readonly PlaceWish[];
  /** Channel name → file, with an optional selector. */
  readonly inputs: Readonly<Record<string, string>>;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the stage and the share of it that is done, 0…1. */
  readonly progress?: ((stage: 'measure' | 'survey', done: number) => void) | undefined;
}

/**
 * The recipe whose weights change least and give places of the masters the colours asked for.
 * @throws LinewashError 'input', 'format' or 'recipe' as `holdPlaces` does, naming the file at fault.
 */
export const holdFiles = ({ inputs, apart, signal, progress, ...wish }: HoldOptions): Promise<HeldLines> =>
  withExecutor(signal, (executor) =>
    withLines(inputsFor(wish.plain, inputs), { apart, signal, executor }, (lines) =>
      holdPlaces(lines, wish, {
        signal,
        progress: (done) => progress?.('measure', done),
        surveying: (done) => progress?.('survey', done),
      }),
    ),
  );
