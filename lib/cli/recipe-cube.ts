import { type Command, InvalidArgumentError } from 'commander';
import { writeContent } from '../node/files/write-whole.ts';
import { withLines } from '../node/masters/file-lines.ts';
import { inputsFor } from '../node/masters/inputs-for.ts';
import { refuseOutput } from '../node/mix-files.ts';
import { withExecutor } from '../node/threads/executor.ts';
import { recipeError } from '../plane/errors.ts';
import { usedChannels } from '../recipe/settle/settle.ts';
import { type KnobValues, withKnobs } from '../recipe/written/knobs.ts';
import { plainRecipe } from '../recipe/written/plain.ts';
import { CUBE_RANGE, cubeLimits, cubeText, USUAL_CUBE } from '../render/cube.ts';
import { settledForStretched } from '../render/mix-arrays.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { knobOption } from './knobs.ts';
import { MASTERS_HELP, mastersFrom } from './masters.ts';
import { RECIPE_HELP, recipeFrom } from './recipe-source.ts';
import { reportWarnings } from './report.ts';
import { type Context, examples, printJson } from './verb.ts';

interface Flags extends ApartFlag {
  readonly output: string;
  readonly size?: number;
  readonly knob?: KnobValues;
  readonly force?: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

const size = (text: string): number => {
  const [least, most] = CUBE_RANGE;
  const points = Number(text);
  if (!(Number.isInteger(points) && points >= least && points <= most))
    throw new InvalidArgumentError(`Give a whole number from ${least} to ${most}.`);
  return points;
};

/** `linewash recipe cube`: the colours of a recipe as a table for other programs. */
export const recipeCube = (group: Command, { streams, signal, progress }: Context): void => {
  group
    .command('cube')
    .description('Writes the colours of a recipe of three lines as a table (.cube) that image and film programs read.')
    .argument('<recipe>', RECIPE_HELP)
    .argument(
      '[masters...]',
      `${MASTERS_HELP}; only for recipes with a number that masters decide, such as an automatic gain`,
    )
    .requiredOption('-o, --output <file>', 'output file: .cube')
    .option('--size <n>', `points along each axis (default: ${USUAL_CUBE})`, size)
    .addOption(knobOption())
    .addOption(apartOption())
    .option('--force', 'replace the file if it exists')
    .option('--json', 'print JSON')
    .option('--quiet', 'show no progress')
    .addHelpText(
      'after',
      `\nThe table maps three stretched lines to colour. It holds weights, lightness, finish and gamut, and no\nbackground, levels, curves, smoothing or stars: stretch the lines first.\n${examples('linewash recipe cube sho -o sho.cube')}`,
    )
    .action(async (word: string, words: string[], { output, force, ...flags }: Flags) => {
      const recipe = await plainRecipe(withKnobs(await recipeFrom(word), flags.knob ?? {}));
      const used = usedChannels(recipe);
      if (used.length !== 3)
        throw recipeError([
          { path: '$.matrix', message: `the recipe uses ${used.length} lines; a table of colours has exactly three` },
        ]);
      await refuseOutput({ output, force });
      const settled = words.length === 0 ? settledForStretched(recipe) : await settledOn(words);
      await writeContent(output, force ?? false, cubeText(settled, recipe.name ?? 'linewash', flags.size));
      if (flags.json)
        printJson(streams, { output, size: flags.size ?? USUAL_CUBE, limits: cubeLimits(settled), settled });
      else
        streams.out(
          `${output}\n${cubeLimits(settled)
            .map((words) => `  ${words}\n`)
            .join('')}`,
        );

      async function settledOn(given: string[]) {
        const inputs = inputsFor(recipe, await mastersFrom(given, streams));
        const bar = progress(flags.quiet ?? false);
        const found = await withExecutor(signal, (executor) =>
          withLines(inputs, { apart: flags.combineApart, signal, executor }, (lines) =>
            lines.settle(recipe, { progress: (done) => bar.show('measure', done) }),
          ),
        ).finally(() => bar.clear());
        reportWarnings([...found.notes, ...found.warnings], streams);
        return found.settled;
      }
    });
};
