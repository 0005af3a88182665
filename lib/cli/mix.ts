import { InvalidArgumentError, Option } from 'commander';
import { MOST_GAIN } from '../finish/finish.ts';
import { type ByLine, underLineNames } from '../hours/line-names.ts';
import { plainNumber } from '../mix/expression-tokens.ts';
import { usualCacheFolder } from '../node/cache/cache-folder.ts';
import { mixFiles } from '../node/mix-files.ts';
import type { OutputSample, SpaceName } from '../plane/picture.ts';
import { usedChannels } from '../recipe/settle/settle.ts';
import { type KnobValues, withKnobs } from '../recipe/written/knobs.ts';
import { plainRecipe } from '../recipe/written/plain.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { cacheOption } from './cache.ts';
import { byLine, hoursOf } from './hours-flags.ts';
import { knobOption } from './knobs.ts';
import { MASTERS_HELP, mastersFrom } from './masters.ts';
import { formatOption, type PipeFlags, toOutput } from './output.ts';
import { RECIPE_HELP, recipeFrom } from './recipe-source.ts';
import { reportRejected } from './rejected-report.ts';
import { reportPicture } from './report.ts';
import { examples, type Verb } from './verb.ts';

interface Flags extends ApartFlag, PipeFlags {
  readonly bits?: OutputSample;
  readonly space?: SpaceName;
  readonly alpha?: boolean;
  readonly crop?: boolean;
  readonly legend?: boolean;
  readonly size?: number;
  readonly rejected?: string;
  readonly after?: number;
  readonly time?: ByLine<number>;
  readonly stars?: string;
  readonly force?: boolean;
  readonly cache: boolean;
  readonly quiet?: boolean;
  readonly threads?: number;
  readonly knob?: KnobValues;
  readonly smooth?: number;
  readonly fillSpots?: boolean;
  readonly chroma?: number | 'auto';
  readonly neutralStars?: number;
  readonly starSize?: number;
  readonly starTint?: string;
}

const SAMPLES = new Map<string, OutputSample>([
  ['8', 'u8'],
  ['16', 'u16'],
  ['32', 'f32'],
]);

const bits = (text: string): OutputSample => {
  const sample = SAMPLES.get(text);
  if (sample === undefined) throw new InvalidArgumentError('Give 8, 16 or 32.');
  return sample;
};

const threads = (text: string): number => {
  const count = Number(text);
  if (!Number.isInteger(count) || count < 1 || count > 64)
    throw new InvalidArgumentError('Give a whole number from 1 to 64.');
  return count;
};

const pixels = (text: string): number => {
  const count = Number(text);
  if (!Number.isInteger(count) || count < 16 || count > 65500)
    throw new InvalidArgumentError('Give a whole number from 16 to 65500.');
  return count;
};

const part = (text: string): number => {
  const value = plainNumber(text);
  if (value === undefined || value < 0 || value > 1) throw new InvalidArgumentError('Give a number from 0 to 1.');
  return value;
};

const gain = (text: string): number | 'auto' => {
  const value = text === 'auto' ? text : plainNumber(text);
  if (value === undefined || (value !== 'auto' && !(value >= 0 && value <= MOST_GAIN)))
    throw new InvalidArgumentError(`Give auto or a number from 0 to ${MOST_GAIN}.`);
  return value;
};

const someHours = (text: string): number => {
  const hours = hoursOf(text);
  if (!(hours > 0)) throw new InvalidArgumentError('Give hours above 0, for example 10h.');
  return hours;
};

/** The recipe with another gain on chroma; what else its finish says of chroma stays. */
const withChroma = (recipe: WrittenRecipe, chroma: number | 'auto' | undefined): WrittenRecipe => {
  if (chroma === undefined) return recipe;
  const { gain: _, ...before } = typeof recipe.finish?.chroma === 'object' ? recipe.finish.chroma : {};
  return { ...recipe, finish: { ...recipe.finish, chroma: chroma === 'auto' ? before : { ...before, gain: chroma } } };
};

/** The recipe with another strength of smoothing. */
const smoothed = (recipe: WrittenRecipe, strength: number | undefined): WrittenRecipe =>
  strength === undefined ? recipe : { ...recipe, smooth: { ...recipe.smooth, strength } };

/** The recipe with other wishes for the stars of the masters. */
const withStars = (recipe: WrittenRecipe, { neutralStars, starSize, starTint }: Flags): WrittenRecipe => {
  const wish = {
    ...(neutralStars !== undefined && { neutral: neutralStars }),
    ...(starSize !== undefined && { size: starSize }),
    ...(starTint !== undefined && { tint: starTint }),
  };
  if (Object.keys(wish).length === 0) return recipe;
  const { from, neutral, size, tint, radius } = recipe.stars ?? {};
  const before = from === 'masters' ? { neutral, size, tint, radius } : { neutral: starTint === undefined ? 0 : 1 };
  const said = Object.entries({ ...before, ...wish }).filter(([, value]) => value !== undefined);
  return { ...recipe, stars: { from: 'masters', ...Object.fromEntries(said) } };
};

/** `linewash mix`: applies a recipe to masters at full size. */
export const mix: Verb = (program, { streams, signal, progress }) => {
  program
    .command('mix')
    .summary('mix masters with a recipe at full size')
    .description('Applies a recipe to registered masters and writes the colour picture at full size.')
    .argument('<recipe>', RECIPE_HELP)
    .argument(
      '[masters...]',
      `${MASTERS_HELP}; file.fits[2] names an HDU, cube.fits#1 a plane; O=a.fits,b.fits combines two`,
    )
    .requiredOption('-o, --output <file>', 'output file: .tif, .png, .jpg or .fits; - for standard output')
    .addOption(formatOption())
    .addOption(knobOption())
    .option('--smooth <strength>', 'take noise out of weak lines: 0 (none) to 1; overrides the recipe', part)
    .option('--fill-spots', 'fill hot pixels: the bright spots that only one line has, as check lists them')
    .option(
      '--chroma <gain>',
      'raise chroma where there is more than sky: a factor to 2.2, or auto; overrides the recipe',
      gain,
    )
    .option('--neutral-stars <part>', 'make the stars of the masters white: 0 (as they are) to 1', part)
    .option('--star-size <part>', 'keep this part of the light of the stars of the masters: 0 (none) to 1', part)
    .option('--star-tint <colour>', 'the colour of neutral stars, as CSS writes it (default: white)')
    .option(
      '--size <pixels>',
      'longer side of the picture (default: full size); a larger one is shrunk in light',
      pixels,
    )
    .option(
      '--after <hours>',
      'estimate the picture after more hours, for example 10h, split best: existing noise is scaled',
      someHours,
    )
    .option(
      '--time <hours>',
      'hours so far where headers do not state them, for --after: S=4.5h,O=3h',
      byLine(someHours),
    )
    .option('--bits <n>', 'bits per sample: 8, 16 or 32 (float)', bits)
    .addOption(new Option('--space <name>', 'output colour space').choices(['srgb', 'display-p3', 'srgb-linear']))
    .option('--alpha', 'add an alpha channel, transparent where a line has no data')
    .option('--crop', 'crop to the largest rectangle that all lines cover')
    .option('--legend', 'add a strip below: colour and hours of each line, and the recipe')
    .option(
      '--rejected <file>',
      'also write which pixels combining left out, and of which master: .tif or .png in colours, .fits in numbers',
    )
    .option('--stars <file>', 'add the stars of this picture: rgb.tif, cube.fits#1..3, or r.fits,g.fits,b.fits')
    .option('--threads <n>', 'number of threads (default: number of processors)', threads)
    .addOption(apartOption())
    .addOption(cacheOption())
    .option('--force', 'replace the picture if it exists')
    .option('--json', 'print the settled numbers as JSON')
    .option('--quiet', 'show no progress')
    .addHelpText(
      'after',
      examples(
        'linewash mix hoo H=H.fits O=O.fits -o hoo.tif',
        'linewash mix sho S=S.fits H=H.fits O=O.fits -o sho.tif --smooth 0.8',
        'linewash mix ember S=S.fits H=H.fits O=O.fits -o ember.tif --chroma auto',
        'linewash mix hso S=S.fits H=H.fits O=O.fits -o hso.tif --neutral-stars 1 --star-size 0.6',
        'linewash mix ember.json S=S.fits H=H.fits O=O.fits -o ember.png --bits 8',
        'linewash mix sho S=S.fits H=H.fits O=O.fits -o sho.jpg --size 2048',
        'linewash mix sho S=S.fits H=H.fits O=O.fits -o later.png --after 10h',
        'linewash mix hoo H=H.fits O=old.fits,new.fits -o hoo.tif --rejected rejected.png',
      ),
    )
    .action(async (word: string, masters: string[], flags: Flags) => {
      const inputs = await mastersFrom(masters, streams);
      const plain = withKnobs(await recipeFrom(word), flags.knob ?? {});
      const spotless: WrittenRecipe = flags.fillSpots ? { ...plain, spots: 'fill' } : plain;
      const recipe = withStars(smoothed(withChroma(spotless, flags.chroma), flags.smooth), flags);
      const time = flags.time && underLineNames('--time', flags.time, usedChannels(await plainRecipe(recipe)));
      const bar = progress(flags.quiet ?? false);
      const write = (output: string) =>
        mixFiles({
          recipe,
          inputs,
          output,
          sample: flags.bits,
          space: flags.space,
          alpha: flags.alpha,
          crop: flags.crop,
          legend: flags.legend,
          size: flags.size,
          rejected: flags.rejected,
          after: flags.after,
          time,
          stars: flags.stars,
          force: flags.force,
          threads: flags.threads,
          apart: flags.combineApart,
          cache: flags.cache ? usualCacheFolder() : undefined,
          signal,
          progress: (stage, done) => bar.show(stage, done),
        });
      const result = await toOutput(flags, streams, write).finally(() => bar.clear());
      if (flags.rejected !== undefined && !flags.json) reportRejected(flags.rejected, result.rejected ?? [], streams);
      reportPicture(result, streams, flags);
    });
};
