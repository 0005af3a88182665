import { InvalidArgumentError } from 'commander';
import { expandGlob } from '../node/files/glob.ts';
import { sheetFiles } from '../node/sheet-files.ts';
import { CATALOGUE } from '../palettes/catalogue.ts';
import { inputError, LinewashError } from '../plane/errors.ts';
import { byChannel } from '../recipe/written/channel-for.ts';
import { channelsOf } from '../recipe/written/facts-of.ts';
import { type KnobValues, withKnobs } from '../recipe/written/knobs.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { knobOption } from './knobs.ts';
import { isMasterFile, mastersFrom, namesLine } from './masters.ts';
import { formatOption, type PipeFlags, toOutput } from './output.ts';
import { recipeFrom } from './recipe-source.ts';
import { reportPicture } from './report.ts';
import { examples, type Verb } from './verb.ts';

interface Flags extends ApartFlag, PipeFlags {
  readonly size?: number;
  readonly columns?: number;
  readonly stars?: string;
  readonly crop?: boolean;
  readonly force?: boolean;
  readonly quiet?: boolean;
  readonly knob?: KnobValues;
}

const whole = (least: number, most: number) => (text: string) => {
  const value = Number(text);
  if (!Number.isInteger(value) || value < least || value > most)
    throw new InvalidArgumentError(`Give a whole number from ${least} to ${most}.`);
  return value;
};

/** A recipe as JSON or a link is no pattern, whatever characters it holds. */
const expandWords = async (words: readonly string[]): Promise<string[]> => {
  const isFile = (word: string) => !namesLine(word) && !/^\s*\{|#lw/.test(word);
  return (await Promise.all(words.map((word) => (isFile(word) ? expandGlob(word) : [word])))).flat();
};

/** Masters and recipes, which stand in any order; a recipe file whose name holds `=` is written with `./` in front. */
const sorted = async (words: readonly string[]) => {
  const masters = new Set<string>();
  for (const word of words) if (namesLine(word) || (await isMasterFile(word))) masters.add(word);
  return { masters: words.filter((word) => masters.has(word)), names: words.filter((word) => !masters.has(word)) };
};

/** Sets each knob on every recipe that has it. @throws LinewashError 'input' where none has. */
const turned = (recipes: readonly WrittenRecipe[], values: KnobValues): WrittenRecipe[] => {
  const known = (recipe: WrittenRecipe) =>
    Object.entries(values).filter(([name]) => Object.hasOwn(recipe.knobs ?? {}, name));
  const unknown = Object.keys(values).find((name) => !recipes.some(({ knobs }) => Object.hasOwn(knobs ?? {}, name)));
  if (unknown !== undefined)
    throw inputError(`none of these recipes has the knob ${unknown}`, '`linewash recipe show` lists the knobs of one');
  return recipes.map((recipe) => withKnobs(recipe, Object.fromEntries(known(recipe))));
};

/** Every catalogue recipe that these masters can serve. @throws LinewashError 'usage' where there is none. */
const catalogueFor = (inputs: Readonly<Record<string, string>>): WrittenRecipe[] => {
  const served = CATALOGUE.filter(({ recipe }) => {
    const channels = channelsOf(recipe);
    return byChannel(inputs, channels).size === channels.length;
  });
  if (served.length > 0) return served.map(({ recipe }) => recipe);
  throw new LinewashError({
    tag: 'usage',
    message: 'no recipes given, and no catalogue recipe fits these masters',
    advice: 'name recipes, or masters as S=FILE H=FILE O=FILE',
  });
};

/** `linewash sheet`: compare several recipes on the same masters. */
export const sheet: Verb = (program, { streams, signal, progress }) => {
  program
    .command('sheet')
    .summary('compare several recipes on the same masters')
    .description('Draws compare several recipes on the same masters, captioned, as one picture.')
    .argument(
      '<words...>',
      'recipes (default: all catalogue recipes that fit) and masters (LINE=FILE, or files whose header or name gives the line)',
    )
    .requiredOption('-o, --output <file>', 'output file: .tif, .png or .jpg; - for standard output')
    .addOption(formatOption())
    .addOption(knobOption())
    .option('--size <pixels>', 'longer side of each picture (default: 480)', whole(16, 4096))
    .option('--columns <n>', 'pictures per row', whole(1, 100))
    .option('--stars <file>', 'add the stars of this picture to each: rgb.tif, cube.fits#1..3, or r.fits,g.fits,b.fits')
    .option('--crop', 'crop all to the largest rectangle that all lines cover')
    .addOption(apartOption())
    .option('--force', 'replace the sheet if it exists')
    .option('--json', 'print JSON')
    .option('--quiet', 'show no progress')
    .addHelpText(
      'after',
      examples(
        'linewash sheet S=S.fits H=H.fits O=O.fits -o sheet.png',
        'linewash sheet sho hoo ember S=S.fits H=H.fits O=O.fits -o three.png',
      ),
    )
    .action(async (words: string[], flags: Flags) => {
      const { masters, names } = await sorted(await expandWords(words));
      const inputs = await mastersFrom(masters, streams);
      const chosen: WrittenRecipe[] = names.length === 0 ? catalogueFor(inputs) : [];
      for (const name of names) chosen.push(await recipeFrom(name));
      const recipes = turned(chosen, flags.knob ?? {}).map((recipe, i) => ({
        recipe,
        caption: recipe.name ?? names[i],
      }));
      const bar = progress(flags.quiet ?? false);
      const written = (output: string) =>
        sheetFiles({
          recipes,
          inputs,
          output,
          size: flags.size,
          columns: flags.columns,
          stars: flags.stars,
          crop: flags.crop,
          apart: flags.combineApart,
          force: flags.force,
          signal,
          progress: (stage, done) => bar.show(stage, done),
        });
      const result = await toOutput(flags, streams, written).finally(() => bar.clear());
      reportPicture(result, streams, flags);
    });
};
