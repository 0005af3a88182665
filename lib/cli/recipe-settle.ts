import type { Command } from 'commander';
import { inputsFor } from '../node/masters/inputs-for.ts';
import { closeMasters, openMasters } from '../node/masters/masters.ts';
import { settleMasters } from '../node/masters/settle-masters.ts';
import { withExecutor } from '../node/threads/executor.ts';
import { inHalves } from '../plane/progress.ts';
import { settledRecipe } from '../recipe/settle/settled-recipe.ts';
import { type KnobValues, withKnobs } from '../recipe/written/knobs.ts';
import { plainRecipe } from '../recipe/written/plain.ts';
import { recipeText } from '../recipe/written/serialize.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { knobOption } from './knobs.ts';
import { MASTERS_HELP, mastersFrom } from './masters.ts';
import { RECIPE_HELP, recipeFrom } from './recipe-source.ts';
import { reportWarnings } from './report.ts';
import { safeJson } from './streams.ts';
import { type Context, examples, printJson } from './verb.ts';

interface Flags extends ApartFlag {
  readonly knob?: KnobValues;
  readonly recipe?: boolean;
}

/** `linewash recipe settle`: the numbers that a recipe gets from masters. */
export const recipeSettle = (group: Command, { streams, signal, progress }: Context): void => {
  group
    .command('settle')
    .description('Prints the numbers that a recipe gets from these masters, as JSON.')
    .argument('<recipe>', RECIPE_HELP)
    .argument('[masters...]', MASTERS_HELP)
    .addOption(knobOption())
    .addOption(apartOption())
    .option('--recipe', 'print them as a recipe that treats every master alike')
    .addHelpText('after', examples('linewash recipe settle hoo H=H.fits O=O.fits'))
    .action(async (word: string, words: string[], flags: Flags) => {
      const chosen = await plainRecipe(withKnobs(await recipeFrom(word), flags.knob ?? {}));
      const inputs = inputsFor(chosen, await mastersFrom(words, streams));
      const bar = progress(false);
      const [opening, measuring] = inHalves((done) => bar.show('measure', done));
      const { settled, warnings } = await withExecutor(signal, async (executor) => {
        const masters = await openMasters(inputs, {
          zeros: chosen.zeros,
          apart: flags.combineApart,
          signal,
          executor,
          progress: opening,
        });
        try {
          return await settleMasters(chosen, masters, { signal, executor, progress: measuring });
        } finally {
          await closeMasters(masters);
        }
      }).finally(() => bar.clear());
      reportWarnings(warnings, streams);
      if (flags.recipe) streams.out(safeJson(recipeText(settledRecipe(settled, chosen))));
      else printJson(streams, settled);
    });
};
