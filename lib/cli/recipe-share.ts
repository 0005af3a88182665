import type { Command } from 'commander';
import { CATALOGUE } from '../palettes/catalogue.ts';
import { recipeDiff } from '../recipe/share/diff.ts';
import { recipeLink } from '../recipe/share/link.ts';
import { recipeHash } from '../recipe/written/hash.ts';
import { type KnobValues, withKnobs } from '../recipe/written/knobs.ts';
import { recipeText } from '../recipe/written/serialize.ts';
import { knobOption } from './knobs.ts';
import { RECIPE_HELP, recipeFrom } from './recipe-source.ts';
import { harmless, safeJson } from './streams.ts';
import { table } from './table.ts';
import { type Context, examples, printJson } from './verb.ts';

interface Flags {
  readonly knob?: KnobValues;
  readonly json?: boolean;
  readonly page?: string;
}

/** The verbs that hand recipes on and compare them. */
export const recipeShare = (group: Command, context: Context): void => {
  addLink(group, context);
  addFrom(group, context);
  addHash(group, context);
  addDiff(group, context);
  addList(group, context);
};

const addLink = (group: Command, { streams }: Context): void => {
  group
    .command('link')
    .description('Prints a recipe as a link. The recipe is in the fragment, which browsers do not send to servers.')
    .argument('<recipe>', RECIPE_HELP)
    .addOption(knobOption())
    .option(
      '--page <address>',
      'address of the playground that opens it; without it, you can paste the text into any playground',
    )
    .option('--json', 'print JSON')
    .addHelpText('after', examples('linewash recipe link ember', 'linewash mix "$(linewash recipe link hoo)" --help'))
    .action(async (word: string, flags: Flags) => {
      const link = await recipeLink(withKnobs(await recipeFrom(word), flags.knob ?? {}), flags.page);
      if (flags.json) printJson(streams, { link });
      else streams.out(`${link}\n`);
    });
};

const addFrom = (group: Command, { streams }: Context): void => {
  group
    .command('from')
    .description('Prints the recipe stored in a picture or a link, as a recipe file.')
    .argument('<picture>', RECIPE_HELP)
    .addOption(knobOption())
    .option('--json', 'print JSON (a recipe always is JSON)')
    .addHelpText('after', examples('linewash recipe from out.tif > out.json'))
    .action(async (word: string, flags: Flags) =>
      streams.out(safeJson(recipeText(withKnobs(await recipeFrom(word), flags.knob ?? {})))),
    );
};

const addHash = (group: Command, { streams }: Context): void => {
  group
    .command('hash')
    .description('Prints a hash of each recipe. Recipes that make the same picture have the same hash.')
    .argument('<recipes...>', RECIPE_HELP)
    .option('--json', 'print JSON')
    .addHelpText('after', examples('linewash recipe hash ember hoo'))
    .action(async (words: string[], flags: Flags) => {
      const hashes: { recipe: string; hash: string }[] = [];
      for (const recipe of words) hashes.push({ recipe, hash: await recipeHash(await recipeFrom(recipe)) });
      if (flags.json) printJson(streams, hashes);
      else for (const { recipe, hash } of hashes) streams.out(`${hash}  ${harmless(recipe)}\n`);
    });
};

const addDiff = (group: Command, { streams }: Context): void => {
  group
    .command('diff')
    .description('Describes how one recipe differs from another.')
    .argument('<one>', RECIPE_HELP)
    .argument('<other>', 'another')
    .option('--json', 'print JSON')
    .addHelpText('after', examples('linewash recipe diff ember gilt'))
    .action(async (one: string, other: string, flags: Flags) => {
      const differences = await recipeDiff(await recipeFrom(one), await recipeFrom(other));
      if (flags.json) printJson(streams, { differences });
      else streams.out(differences.map((line) => `${harmless(line)}\n`).join('') || 'no difference\n');
    });
};

const addList = (group: Command, { streams }: Context): void => {
  group
    .command('list')
    .description('Lists the recipes that come with linewash.')
    .option('--json', 'print JSON')
    .addHelpText('after', examples('linewash recipe list'))
    .action((flags: Flags) => {
      if (flags.json) return printJson(streams, CATALOGUE);
      const first = (about = '') => about.slice(0, about.search(/[.:;](\s|$)/));
      const rows = CATALOGUE.map(({ id, recipe }) => [id, recipe.name ?? '', first(recipe.about)]);
      return streams.out(table(['recipe', 'name', 'about'], rows));
    });
};
