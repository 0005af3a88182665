import { join } from 'node:path';
import { inputError } from '../plane/errors.ts';
import type { Hands } from '../plane/hands.ts';
import { inHalves } from '../plane/progress.ts';
import type { Recipe } from '../recipe/schema.ts';
import { recipeText } from '../recipe/serialize.ts';
import { sampleLines } from '../recipe/suggest/sample.ts';
import { type Suggestion, type Suggestions, suggestMixes } from '../recipe/suggest/suggest.ts';
import { shrink } from '../render/shrink.ts';
import { fileSink, makeFolder } from './file-sink.ts';
import { withHands } from './hands.ts';
import { closeMasters, openMasters, refuseSameFile } from './masters.ts';
import { refuseOutput } from './mix-files.ts';
import { settleMasters } from './settle-masters.ts';

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
  withHands(options.signal, (hands) => suggestTogether(options, hands));

const suggestTogether = async (
  { inputs, apart, signal, progress }: SuggestOptions,
  hands: Hands,
): Promise<SuggestResult> => {
  const channels = Object.keys(inputs);
  if (channels.length < 2)
    throw inputError('one line alone makes no colours', 'give at least two masters, for example H=h.fits O=o.fits');
  refuseSameFile(inputs);
  const [opening, measuring] = inHalves((done) => progress?.('measure', done));
  const masters = await openMasters(inputs, { apart, signal, hands, progress: opening });
  try {
    const even = channels.map(() => 1);
    const recipe: Recipe = { channels, matrix: [even, even, even], balance: 'rows' };
    const { settled, prepared, warnings } = await settleMasters(recipe, masters, {
      signal,
      hands,
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
