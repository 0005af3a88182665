import { Command, CommanderError } from 'commander';
import { VERSION } from '../plane/version.ts';
import { batch } from './batch.ts';
import { hours } from './hours.ts';
import { measure } from './measure.ts';
import { mix } from './mix.ts';
import { progressOn } from './progress.ts';
import { recipe } from './recipe.ts';
import { reportError } from './report.ts';
import { samples } from './samples.ts';
import { sheet } from './sheet.ts';
import { suggest } from './suggest.ts';
import type { Streams } from './streams.ts';
import type { Context, Verb } from './verb.ts';

const VERBS: readonly Verb[] = [mix, sheet, measure, suggest, hours, batch, samples, recipe];

/** Runs one command line and returns its exit code; never throws. */
export const run = async (words: readonly string[], streams: Streams, signal: AbortSignal): Promise<number> => {
  const program = new Command('linewash')
    .description('Decide what colour each emission line gets: mix registered narrowband masters to colour.')
    .version(VERSION)
    .showHelpAfterError('Add --help to see how it is used.')
    .showSuggestionAfterError()
    .exitOverride()
    .configureOutput({ writeOut: (text) => streams.out(text), writeErr: (text) => streams.err(text) });
  const context: Context = { streams, signal, progress: (quiet) => progressOn(streams, quiet) };
  for (const verb of VERBS) verb(program, context);
  inheritSettings(program);
  try {
    await program.parseAsync(words, { from: 'user' });
    return 0;
  } catch (cause) {
    if (cause instanceof CommanderError) return cause.exitCode === 0 ? 0 : 2;
    return reportError(cause, streams);
  }
};

/** commander hands settings down only to commands added later, and verbs are added with their own. */
const inheritSettings = (parent: Command): void => {
  for (const command of parent.commands) {
    command.copyInheritedSettings(parent);
    inheritSettings(command);
  }
};
