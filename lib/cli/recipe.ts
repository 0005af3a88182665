import { closeMasters, openMasters } from '../node/masters.ts';
import { inputsFor, settleMasters } from '../node/mix-files.ts';
import type { KnobValues } from '../recipe/knobs.ts';
import { plainRecipe } from '../recipe/plain.ts';
import { knobOption } from './knobs.ts';
import { requireLines } from './lines.ts';
import { RECIPE_HELP, recipeFrom } from './recipe-source.ts';
import { reportWarnings } from './report.ts';
import { examples, printJson, type Verb } from './verb.ts';

/** `linewash recipe …`: works on recipes. */
export const recipe: Verb = (program, { streams, signal, progress }) => {
  const group = program.command('recipe').summary('check and settle recipes').description('Works on recipes.');

  group
    .command('check')
    .description('Reads recipes and lists every fault with its place.')
    .argument('<recipes...>', 'recipe files')
    .addHelpText('after', examples('linewash recipe check ember.json'))
    .action(async (words: string[]) => {
      for (const word of words) {
        await recipeFrom(word);
        streams.out(`${word}: no faults\n`);
      }
    });

  group
    .command('settle')
    .description('Prints the numbers that a recipe gets from these masters, as JSON.')
    .argument('<recipe>', RECIPE_HELP)
    .argument('[masters...]', 'one master a line, as LINE=FILE')
    .addOption(knobOption())
    .addHelpText('after', examples('linewash recipe settle hoo H=H.fits O=O.fits'))
    .action(async (word: string, words: string[], flags: { readonly knob?: KnobValues }) => {
      const chosen = await plainRecipe(await recipeFrom(word), flags.knob);
      const masters = await openMasters(inputsFor(chosen, requireLines(words)), { zeros: chosen.zeros, signal });
      const bar = progress(false);
      try {
        const { settled, warnings } = await settleMasters(chosen, masters, {
          signal,
          progress: (stage, done) => bar.show(stage, done),
        });
        bar.clear();
        reportWarnings(warnings, streams);
        printJson(streams, settled);
      } finally {
        bar.clear();
        await closeMasters(masters);
      }
    });
};
