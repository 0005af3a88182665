import type { Command } from 'commander';
import { type ErrorFields, LinewashError } from '../plane/errors.ts';
import { recipeHash } from '../recipe/written/hash.ts';
import { RECIPE_HELP, recipeFrom } from './recipe-source.ts';
import { reportError } from './report.ts';
import { type Context, examples, printJson } from './verb.ts';

/** `linewash recipe check`: every fault of every recipe, with its place. */
export const recipeCheck = (group: Command, { streams }: Context): void => {
  group
    .command('check')
    .description('Checks recipes and lists every error with its position.')
    .argument('<recipes...>', RECIPE_HELP)
    .option('--json', 'print JSON')
    .addHelpText('after', examples('linewash recipe check ember.json'))
    .action(async (words: string[], flags: { readonly json?: boolean }) => {
      const results: ({ recipe: string; hash: string } | ({ recipe: string } & Partial<ErrorFields>))[] = [];
      let bad: LinewashError | undefined;
      for (const word of words)
        try {
          results.push({ recipe: word, hash: await recipeHash(await recipeFrom(word)) });
          if (!flags.json) streams.out(`${word}: no faults\n`);
        } catch (cause) {
          if (!(cause instanceof LinewashError)) throw cause;
          results.push({ recipe: word, ...cause.toFields() });
          // The program reports the last one; those before it are reported here.
          if (bad !== undefined) reportError(bad, streams);
          bad = cause;
        }
      if (flags.json) printJson(streams, results);
      if (bad !== undefined) throw bad;
    });
};
