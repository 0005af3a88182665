import { type Command, InvalidArgumentError } from 'commander';
import { formatHex } from '../colour/colour-text.ts';
import { oklchOf } from '../colour/convert.ts';
import { SPACES } from '../colour/spaces.ts';
import { writeContent } from '../node/files/write-whole.ts';
import { holdFiles } from '../node/hold-files.ts';
import { refuseOutput } from '../node/mix-files.ts';
import type { Box } from '../plane/box.ts';
import type { Triple } from '../plane/linear.ts';
import type { HeldColour } from '../recipe/suggest/hold.ts';
import { type KnobValues, withKnobs } from '../recipe/written/knobs.ts';
import { plainRecipe } from '../recipe/written/plain.ts';
import { recipeText } from '../recipe/written/serialize.ts';
import type { HeldLines, PlaceWish } from '../work/hold.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { knobOption } from './knobs.ts';
import { usage } from './lines.ts';
import { MASTERS_HELP, mastersFrom } from './masters.ts';
import { RECIPE_HELP, recipeFrom } from './recipe-source.ts';
import { reportWarnings } from './report.ts';
import { table } from './table.ts';
import { type Context, examples, printJson } from './verb.ts';

interface Flags extends ApartFlag {
  readonly place?: readonly PlaceWish[];
  readonly knob?: KnobValues;
  readonly output?: string;
  readonly force?: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

/** Collects `x,y=COLOUR` and `x,y,width,height=COLOUR`. */
export const placesFrom = (text: string, before: readonly PlaceWish[] = []): PlaceWish[] => {
  const match = /^(\d+),(\d+)(?:,([1-9]\d*),([1-9]\d*))?=(.*\S.*)$/.exec(text);
  if (match === null)
    throw new InvalidArgumentError('Give X,Y=COLOUR or X,Y,WIDTH,HEIGHT=COLOUR in pixels, from 0 at the top left.');
  const [x, y, width, height] = match.slice(1, 5).map((side) => (side === undefined ? undefined : Number(side)));
  const at = width === undefined ? { x: x!, y: y! } : { x: x!, y: y!, width, height: height! };
  return [...before, { at, colour: match[5]! }];
};

const ABOUT = `
COLOUR is CHROMA@HUE or a CSS colour. 0.12@235 keeps the brightness of the place and
gives it an OKLCH chroma of 0.12 (0 is grey, 0.4 the most) and a hue of 235 degrees:
30 red, 75 gold, 145 green, 195 teal, 235 blue, 330 magenta. A CSS colour, such as
#3a6ea5, sets the brightness too. A pixel is read with its 8 neighbours, a box as the
mean of its pixels. The sky stays grey, and the noise of the mix rises by at most half.
`;

/** `linewash recipe hold`: weights that give places the colours asked for. */
export const recipeHold = (group: Command, { streams, signal, progress }: Context): void => {
  group
    .command('hold')
    .description('Changes the weights of a recipe as little as possible so that chosen places get chosen colours.')
    .argument('<recipe>', RECIPE_HELP)
    .argument('[masters...]', MASTERS_HELP)
    .option(
      '--place <x,y=colour>',
      'give this pixel, or box x,y,w,h, a colour; can be repeated, up to once per line',
      placesFrom,
    )
    .addOption(knobOption())
    .addOption(apartOption())
    .option('-o, --output <file>', 'write the recipe to this file')
    .option('--force', 'replace a file that exists')
    .option('--json', 'print JSON')
    .option('--quiet', 'show no progress')
    .addHelpText(
      'after',
      ABOUT +
        examples(
          'linewash recipe hold sho S=S.fits H=H.fits O=O.fits --place 820,410=0.12@235',
          'linewash recipe hold sho S=S.fits H=H.fits O=O.fits --place 820,410,20,20=#3a6ea5 -o held.json',
        ),
    )
    .action(async (word: string, words: string[], flags: Flags) => {
      const { place: places = [], output, force } = flags;
      if (places.length === 0) throw usage('no place given', 'add one, for example --place 820,410=0.12@235');
      const recipe = withKnobs(await recipeFrom(word), flags.knob ?? {});
      const plain = await plainRecipe(recipe);
      const inputs = await mastersFrom(words, streams);
      if (output !== undefined) await refuseOutput({ output, force });
      const bar = progress(flags.quiet ?? false);
      const show = (stage: string, done: number) => bar.show(stage, done);
      const held = await holdFiles({
        recipe,
        plain,
        places,
        inputs,
        apart: flags.combineApart,
        signal,
        progress: show,
      }).finally(() => bar.clear());
      if (output !== undefined) await writeContent(output, force ?? false, recipeText(held.recipe));
      reportWarnings(held.warnings, streams);
      if (flags.json) printJson(streams, { ...held, ...(output !== undefined && { output }) });
      else streams.out(report(held) + (output === undefined ? '' : `${output}\n`));
    });
};

const report = (held: HeldLines): string => {
  const rows = held.places.map((place, i) => row(boxWords(held.boxes[i]!), place, held));
  const places = table(['place', 'asked for', 'got', 'difference'], [...rows, row('sky', held.sky, held)]);
  const weights = table(
    ['weights', ...(held.recipe.channels ?? [])],
    (['red', 'green', 'blue'] as const).map((name, r) => [
      name,
      ...held.recipe.matrix![r]!.map((w) => Number(w).toFixed(3)),
    ]),
  );
  return `${places}\nnoise: ${held.price.toFixed(2)} × that of before; largest cosine between places: ${held.cosine.toFixed(4)}\n\n${weights}`;
};

const boxWords = ({ x, y, width, height }: Box): string => `${x},${y},${width},${height}`;

const row = (name: string, { wanted, got, left }: HeldColour, held: HeldLines): string[] => [
  name,
  colourWords(wanted, held),
  colourWords(got, held),
  left.toFixed(3),
];

/** As a hex code, and as this verb takes it; the hue of a grey says nothing. */
const colourWords = (rgb: Triple, { space }: Pick<HeldLines, 'space'>): string => {
  const [, chroma, hue] = oklchOf(rgb, SPACES[space]);
  const shown = chroma.toFixed(3);
  return `${formatHex(rgb, SPACES[space])} ${shown}${Number(shown) === 0 ? '' : `@${hue.toFixed(0)}`}`;
};
