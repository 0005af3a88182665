import { Command, CommanderError } from 'commander';
import { VERSION } from '../plane/version.ts';
import { progressOn } from './progress.ts';
import { reportError } from './report.ts';
import { type Streams, safeStreams } from './streams.ts';
import type { Context, Verb } from './verb.ts';

/** Verbs in the order of the help, each loaded when it is asked for: reading all of them takes longer than a small mix. */
const VERBS: Readonly<Record<string, () => Promise<Verb>>> = {
  mix: async () => (await import('./mix.ts')).mix,
  sheet: async () => (await import('./sheet.ts')).sheet,
  measure: async () => (await import('./measure.ts')).measure,
  check: async () => (await import('./check.ts')).check,
  starless: async () => (await import('./starless.ts')).starless,
  faint: async () => (await import('./faint.ts')).faint,
  suggest: async () => (await import('./suggest.ts')).suggest,
  hours: async () => (await import('./hours.ts')).hours,
  tally: async () => (await import('./tally.ts')).tally,
  batch: async () => (await import('./batch.ts')).batch,
  page: async () => (await import('./page.ts')).page,
  samples: async () => (await import('./samples.ts')).samples,
  recipe: async () => (await import('./recipe.ts')).recipe,
  completion: async () => {
    const { completionOf } = await import('./completion.ts');
    return (program, context) =>
      completionOf(async (whole) => {
        for (const load of Object.values(VERBS)) (await load())(whole, context);
      })(program, context);
  },
};

/** What asks for the version alone. */
const VERSION_WORDS = ['-V', '--version'];

/** The verb that the words begin with; all of them where they begin with none, for help and for corrections. */
const verbsFor = (words: readonly string[]): Promise<Verb[]> => {
  const first = words[0] ?? '';
  if (VERSION_WORDS.includes(first)) return Promise.resolve([]);
  const loaders = Object.hasOwn(VERBS, first) ? [VERBS[first]!] : Object.values(VERBS);
  return Promise.all(loaders.map((load) => load()));
};

/** Runs one command line and returns its exit code; never throws. */
export const run = async (words: readonly string[], terminal: Streams, signal: AbortSignal): Promise<number> => {
  const streams = safeStreams(terminal);
  const program = new Command('linewash')
    .description('Decide what colour each emission line gets: mix registered narrowband masters to colour.')
    .version(VERSION)
    .showHelpAfterError('Add --help to see how it is used.')
    .showSuggestionAfterError()
    .exitOverride()
    .configureOutput({ writeOut: (text) => streams.out(text), writeErr: (text) => streams.err(text) });
  const context: Context = { streams, signal, progress: (quiet) => progressOn(streams, quiet) };
  try {
    for (const verb of await verbsFor(words)) verb(program, context);
    inheritSettings(program);
    await program.parseAsync(words, { from: 'user' });
    return 0;
  } catch (cause) {
    if (cause instanceof CommanderError) return cause.exitCode === 0 ? 0 : 2;
    return reportError(cause, streams);
  }
};

/** commander passes settings down only to commands added later, and verbs are added with their own. */
const inheritSettings = (parent: Command): void => {
  for (const command of parent.commands) {
    command.copyInheritedSettings(parent);
    inheritSettings(command);
  }
};
