import { join } from 'node:path';
import { inputError } from '../plane/errors.ts';
import type { Executor } from '../plane/executor.ts';
import { inHalves } from '../plane/progress.ts';
import { sampleLines } from '../recipe/suggest/sample.ts';
import { type Suggestion, type Suggestions, suggestMixes } from '../recipe/suggest/suggest.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { recipeText } from '../recipe/written/serialize.ts';
import { shrink } from '../render/shrink.ts';
import { fileSink, makeFolder } from './files/file-sink.ts';
import { closeMasters, openMasters, refuseSameFile } from './masters/masters.ts';
import { settleMasters } from './masters/settle-masters.ts';
import { refuseOutput } from './mix-files.ts';
import { withExecutor } from './threads/executor.ts';

export interface SuggestOptions {
  /** Channel name → file, with an optional selector. */
  readonly inputs: Readonly<Record<string, string>>;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
  readonly progress?: ((stage: 'measure' | 'apply', done: number) => void) | undefined;
}

export interface SuggestResult extends Suggestions {
  readonly warnings: readonly string[];
}

/** Longer side in pixels of the copies that are looked at. */
const PREVIEW = 480;

/**
 * Proposes mixes computed from masters, stretched as a recipe of nothing but a matrix would.
 * @throws LinewashError 'input' where fewer than two lines are given or hold signal, and as `openMasters` does
 */
export const suggestFiles = (options: SuggestOptions): Promise<SuggestResult> =>
  withExecutor(options.signal, (executor) => suggestTogether(options, executor));

const suggestTogether = async (
  { inputs, apart, signal, progress }: SuggestOptions,
  executor: Executor,
): Promise<SuggestResult> => {
  const channels = Object.keys(inputs);
  if (channels.length < 2)
    throw inputError('one line alone makes no colours', 'give at least two masters, for example H=h.fits O=o.fits');
  refuseSameFile(inputs);
  const [opening, measuring] = inHalves((done) => progress?.('measure', done));
  const masters = await openMasters(inputs, { apart, signal, executor, progress: opening });
  try {
    const even = channels.map(() => 1);
    const recipe: Recipe = { channels, matrix: [even, even, even], balance: 'rows' };
    const { settled, prepared, warnings } = await settleMasters(recipe, masters, {
      signal,
      executor,
      progress: measuring,
    });
    const planes = [];
    for (const { source } of prepared) planes.push(await shrink(source, PREVIEW, { signal }));
    return { ...suggestMixes(sampleLines(settled.channels, planes)), warnings };
  } finally {
    await closeMasters(masters);
  }
};

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
    const sink = await fileSink(paths[i]!, force);
    try {
      await sink.writeAt(0, new TextEncoder().encode(recipeText(recipe)));
    } catch (cause) {
      await sink.abort();
      throw cause;
    }
    await sink.close();
  }
  return paths;
};
