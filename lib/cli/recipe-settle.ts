import type { Command } from 'commander';
import { withLines } from '../node/masters/file-lines.ts';
import { inputsFor } from '../node/masters/inputs-for.ts';
import { withExecutor } from '../node/threads/executor.ts';
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
    .option('--recipe', 'print them as a recipe that gives the same result on any masters')
    .addHelpText('after', examples('linewash recipe settle hoo H=H.fits O=O.fits'))
    .action(async (word: string, words: string[], flags: Flags) => {
      const chosen = await plainRecipe(withKnobs(await recipeFrom(word), flags.knob ?? {}));
      const inputs = inputsFor(chosen, await mastersFrom(words, streams));
      const bar = progress(false);
      const { settled, notes, warnings } = await withExecutor(signal, (executor) =>
        withLines(inputs, { apart: flags.combineApart, signal, executor }, (lines) =>
          lines.settle(chosen, { progress: (done) => bar.show('measure', done) }),
        ),
      ).finally(() => bar.clear());
      reportWarnings([...notes, ...warnings], streams);
      if (flags.recipe) streams.out(safeJson(recipeText(settledRecipe(settled, chosen))));
      else printJson(streams, settled);
    });
};
