import type { Command } from 'commander';
import { type DescribedPair, describeRecipe, type RecipeDescription } from '../recipe/share/describe.ts';
import { recipeHash } from '../recipe/written/hash.ts';
import { type KnobValues, withKnobs } from '../recipe/written/knobs.ts';
import { knobOption } from './knobs.ts';
import { RECIPE_HELP, recipeFrom } from './recipe-source.ts';
import { harmless, swatch } from './streams.ts';
import { table } from './table.ts';
import { type Context, examples, printJson } from './verb.ts';

interface Flags {
  readonly knob?: KnobValues;
  readonly json?: boolean;
}

const VIEWERS = ['all', 'protan', 'deutan', 'tritan'] as const;

/** `linewash recipe show`: what a recipe does, before any data. */
export const recipeShow = (group: Command, { streams }: Context): void => {
  group
    .command('show')
    .description('Describes a recipe: the colour of each line, how different they look, and properties of the matrix.')
    .argument('<recipe>', RECIPE_HELP)
    .addOption(knobOption())
    .option('--json', 'print JSON')
    .addHelpText('after', examples('linewash recipe show ember', 'linewash recipe show kiln --knob share=0.5'))
    .action(async (word: string, flags: Flags) => {
      const recipe = withKnobs(await recipeFrom(word), flags.knob ?? {});
      const description = await describeRecipe(recipe);
      const hash = await recipeHash(recipe);
      if (flags.json) return printJson(streams, { hash, ...description });
      return streams.out(pageOf(description, hash, streams.colour));
    });
};

const pageOf = (description: RecipeDescription, hash: string, colour: boolean): string => {
  const { name, about, by, licence } = description;
  const facts = [by && `by ${by}`, licence, hash].filter(Boolean).join(', ');
  const parts = [
    `${harmless(name ?? 'A recipe without a name')} (${harmless(facts)})\n${about === undefined ? '' : `${harmless(about)}\n`}`,
    linesOf(description, colour),
    knobsOf(description),
    pairsOf(description),
    factsOf(description),
  ];
  return parts.filter((part) => part !== '').join('\n');
};

const short = (value: number): string => String(Number(value.toFixed(3)) + 0);

const linesOf = ({ lines }: RecipeDescription, colour: boolean): string => {
  const rows = lines.map(({ name, hex, weights, hue, outside }) => [
    name,
    hex,
    ...weights.map(short),
    hue === undefined ? 'grey' : `${hue.toFixed(0)}°`,
    outside ? 'outside sRGB, nearest colour shown' : '',
  ]);
  const text = table(['line', 'colour', 'red', 'green', 'blue', 'hue', ''], rows).trimEnd().split('\n');
  if (!colour) return `${text.join('\n')}\n`;
  const swatches = ['    ', ...lines.map(({ hex }) => patch(hex))];
  return `${text.map((line, i) => `${swatches[i]}  ${line}`).join('\n')}\n`;
};

const patch = (hex: string): string => {
  const [r, g, b] = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16));
  return swatch(r!, g!, b!);
};

const knobsOf = ({ knobs }: RecipeDescription): string =>
  knobs.length === 0
    ? ''
    : table(
        ['knob', 'value', 'from', 'to', 'about'],
        knobs.map(({ name, value, min, max, about }) => [name, short(value), short(min), short(max), about ?? '']),
      );

const pairsOf = ({ separations, lines }: RecipeDescription): string => {
  if (lines.length < 2) return '';
  const pairs = separations.filter(({ viewer }) => viewer === 'all');
  const seen = (pair: DescribedPair, viewer: string) =>
    separations.find((s) => s.viewer === viewer && s.lines.join() === pair.lines.join())!.ciede2000.toFixed(1);
  const rows = pairs.map((pair) => [
    pair.lines.join('–'),
    ...VIEWERS.map((viewer) => seen(pair, viewer)),
    pair.deltaEok.toFixed(3),
  ]);
  return `Difference (CIEDE2000, for normal vision and without one cone type; ΔEOK)\n${table(['pair', ...VIEWERS, 'ΔEOK'], rows)}`;
};

const factsOf = ({ confusable, hueOrder, rowSums, outOfGamut, rank, condition }: RecipeDescription): string => {
  const forAll = confusable.filter(({ viewer }) => viewer === 'all').map(({ lines }) => lines.join());
  const alike = confusable
    .filter(({ lines, viewer }) => viewer === 'all' || !forAll.includes(lines.join()))
    .map(
      ({ lines, viewer, ciede2000 }) =>
        `${lines.join(' and ')}${viewer === 'all' ? '' : ` for ${viewer} vision`} (${ciede2000.toFixed(1)})`,
    );
  return [
    `by hue: ${hueOrder.join(', ')}`,
    `rows sum to ${rowSums.map(short).join(' / ')} (red / green / blue)`,
    `${(100 * outOfGamut).toFixed(0)} % of line strengths mix to values outside 0…1`,
    `rank ${rank}, condition ${condition === null ? 'infinite: the lines cannot be recovered from the colours' : condition.toFixed(2)}`,
    alike.length === 0 ? 'all lines can be told apart' : `hard to tell apart: ${alike.join('; ')}`,
    '',
  ].join('\n');
};
