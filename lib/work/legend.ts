import { quantise, SAMPLE_FULL } from '../colour/encode.ts';
import { SPACES } from '../colour/spaces.ts';
import { outputError } from '../plane/errors.ts';
import { outputRows } from '../plane/picture.ts';
import type { PictureFacts } from '../plane/picture-facts.ts';
import { skyOfBox } from '../plane/sky.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { recipeHash } from '../recipe/written/hash.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import type { KernelForm } from '../render/kernel.ts';
import { type Legend, legendHeight } from '../render/legend-form.ts';

/** Display values of the strip and of its letters: as on a sheet. */
const GROUND = 34 / 255;
const INK = 214 / 255;

/** A picture without its strip, and the recipe as it was written. */
interface Above {
  readonly recipe: WrittenRecipe;
  readonly settled: Settled;
  readonly facts: PictureFacts;
  readonly form: KernelForm;
  readonly width: number;
  readonly height: number;
  /** Hours that the picture pretends to have besides. */
  readonly after?: number | undefined;
}

/** The strip below a picture where one is asked for, with the rows and facts of the whole. */
export const withStrip = async (wanted: boolean | undefined, above: Above) => {
  const { facts, width, height } = above;
  if (!wanted) return { legend: undefined, height, facts };
  return {
    legend: await legendOf(above),
    height: height + legendHeight(width),
    facts: factsAbove(facts, width, height),
  };
};

/** The colour of each line alone at its white point, its hours, and the recipe. */
const legendOf = async ({ recipe, settled, facts, form, height, after }: Above): Promise<Legend> => {
  const { jsKernel } = await import('../render/js-kernel.ts');
  const { channels } = settled;
  // One pixel a line, in which all others are black. Lightness is that of lines beside it: what a line colours would be black.
  const { lightness: _, ...colours } = settled;
  const inputs = channels.map(({ black, white }, c) =>
    Float32Array.from(channels, (_, i) => (i === c ? white : black)),
  );
  const pixels = outputRows(form.sample, channels.length * form.bands);
  jsKernel(colours, form)(inputs, channels.length, pixels);
  const hours = new Map(facts.exposures.map((one) => [one.line, one.hours]));
  const entries = channels.map(({ name }, c) => {
    const spent = hours.get(name);
    const colour = [...pixels.subarray(c * form.bands, c * form.bands + 3)];
    return { colour, text: spent === undefined ? name : `${name} ${Number(spent.toFixed(1))} h` };
  });
  const shade = (value: number) => {
    const coded = settled.space === 'srgb-linear' ? SPACES.srgb.display.decode(value) : value;
    return form.sample === 'f32' ? coded : quantise(coded, SAMPLE_FULL[form.sample]);
  };
  const estimate = after === undefined ? '' : `estimate after ${Number(after.toFixed(2))} h more  `;
  const title = `${estimate}${recipe.name ?? 'mix'}  ${await recipeHash(recipe)}`;
  return { from: height, entries, title, ground: shade(GROUND), ink: shade(INK) };
};

/** @throws LinewashError 'output' for formats of data, to which no strip may be added. */
export const checkLegend = (format: { readonly name: string }, output: string): void => {
  if (format.name === 'FITS')
    throw outputError(output, 'a legend is for pictures to look at, and FITS holds data', 'choose TIFF, PNG or JPEG');
};

/** What stays true of a picture with a strip below it: rows of the sky are counted from the bottom. */
const factsAbove = (facts: PictureFacts, width: number, height: number): PictureFacts => {
  if (facts.sky === undefined) return facts;
  const whole = { x: 0, y: 0, width, height: height + legendHeight(width) };
  return { ...facts, sky: skyOfBox(facts.sky, whole, height) };
};
