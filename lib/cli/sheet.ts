import { InvalidArgumentError } from 'commander';
import { sheetFiles } from '../node/sheet-files.ts';
import { LinewashError } from '../plane/errors.ts';
import { parseLines } from './lines.ts';
import { recipeFrom } from './recipe-source.ts';
import { reportWarnings } from './report.ts';
import { examples, printJson, type Verb } from './verb.ts';

interface Flags {
  readonly output: string;
  readonly size?: number;
  readonly columns?: number;
  readonly force?: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

const whole = (least: number, most: number) => (text: string) => {
  const value = Number(text);
  if (!Number.isInteger(value) || value < least || value > most)
    throw new InvalidArgumentError(`A whole number from ${least} to ${most} is wanted.`);
  return value;
};

/** Words with `=` are masters, the others recipes; a recipe file whose name holds `=` is written with `./` in front. */
const isMaster = (word: string) => /^[A-Za-z][^/\\=]*=/.test(word);

/** `linewash sheet`: several recipes side by side on the same masters. */
export const sheet: Verb = (program, { streams, signal, progress }) => {
  program
    .command('sheet')
    .summary('several recipes side by side on the same masters')
    .description('Draws several recipes side by side on the same masters, captioned, as one picture.')
    .argument('<words...>', 'recipes (files or catalogue names) and masters (LINE=FILE), in any order')
    .requiredOption('-o, --output <file>', 'the sheet: .png or .tif')
    .option('--size <pixels>', 'longer side of each picture (480)', whole(16, 4096))
    .option('--columns <n>', 'pictures in a row', whole(1, 100))
    .option('--force', 'replace the sheet if it exists')
    .option('--json', 'print JSON')
    .option('--quiet', 'no progress')
    .addHelpText('after', examples('linewash sheet sho hoo ember S=S.fits H=H.fits O=O.fits -o sheet.png'))
    .action(async (words: string[], flags: Flags) => {
      const inputs = parseLines(words.filter(isMaster));
      const names = words.filter((word) => !isMaster(word));
      if (names.length === 0)
        throw new LinewashError({
          tag: 'usage',
          message: 'no recipes are given',
          advice: 'name at least one recipe, for example sho',
        });
      const recipes = [];
      for (const name of names) {
        const recipe = await recipeFrom(name);
        recipes.push({ caption: recipe.name ?? name, recipe });
      }
      const bar = progress(flags.quiet ?? false);
      const result = await sheetFiles({
        recipes,
        inputs,
        output: flags.output,
        size: flags.size,
        columns: flags.columns,
        force: flags.force,
        signal,
        progress: (stage, done) => bar.show(stage, done),
      }).finally(() => bar.clear());
      reportWarnings(result.warnings, streams);
      if (flags.json) printJson(streams, result);
      else streams.out(`${result.output}\n`);
    });
};
