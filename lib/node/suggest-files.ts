import { join } from 'node:path';
import type { Suggestion } from '../recipe/suggest/suggest.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { recipeText } from '../recipe/written/serialize.ts';
import { type SuggestedMixes, suggestLines } from '../work/suggest.ts';
import { makeFolder } from './files/file-sink.ts';
import { writeWhole } from './files/write-whole.ts';
import { withLines } from './masters/file-lines.ts';
import { refuseSameFile } from './masters/masters.ts';
import { refuseOutput } from './mix-files.ts';
import { withExecutor } from './threads/executor.ts';

/** The masters that mixes are computed from. */
export interface SuggestOptions {
  /** Channel name → file, with an optional selector. */
  readonly inputs: Readonly<Record<string, string>>;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  /** Fills spots first, as recipes do; the suggested recipes say the same. */
  readonly spots?: Recipe['spots'] | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the stage and the share of it that is done, 0…1. */
  readonly progress?: ((stage: 'measure' | 'apply', done: number) => void) | undefined;
}

/**
 * Proposes mixes computed from masters, stretched as a recipe of nothing but a matrix would.
 * @throws LinewashError 'input' where fewer than two lines are given or hold signal, and as `openMasters` does
 */
export const suggestFiles = ({ inputs, apart, spots, signal, progress }: SuggestOptions): Promise<SuggestedMixes> =>
  withExecutor(signal, (executor) => {
    refuseSameFile(inputs);
    return withLines(inputs, { apart, signal, executor }, (lines) =>
      suggestLines(lines, { spots, signal, progress: (done) => progress?.('measure', done) }),
    );
  });

/**
 * Writes each suggestion as a recipe file named by its id; returns the paths.
 * @throws LinewashError 'output' where a file exists and may not be replaced, before any is written
 */
export const writeSuggestions = async (
  suggestions: readonly Suggestion[],
  folder: string,
  force: boolean,
): Promise<string[]> => {
  await makeFolder(folder);
  const paths = suggestions.map(({ id }) => join(folder, `${id}.json`));
  for (const output of paths) await refuseOutput({ output, force });
  for (const [i, { recipe }] of suggestions.entries()) {
    const bytes = new TextEncoder().encode(recipeText(recipe));
    await writeWhole(paths[i]!, force, (sink) => sink.writeAt(0, bytes));
  }
  return paths;
};
