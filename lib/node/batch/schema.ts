import * as v from 'valibot';
import { CHANNEL_NAME } from '../../plane/name.ts';

/** The version of plans that this code reads. */
export const BATCH_VERSION = 1;

/** Targets of a plan at most: no fewer than files that `batch init` looks at. */
export const MOST_TARGETS = 20_000;

/** Characters, and bytes, of a plan at most: what so many targets need. */
export const LONGEST_PLAN = 1 << 24;

const shown = (input: unknown): string => JSON.stringify(input)?.slice(0, 60) ?? String(input);

const text = (longest: number, wanted = 'expected text') =>
  v.pipe(v.string(wanted), v.minLength(1, 'the text is empty'), v.maxLength(longest, `at most ${longest} characters`));

const about = <const S extends v.GenericSchema>(schema: S, description: string) =>
  v.pipe(schema, v.description(description));

const list = <const S extends v.GenericSchema>(schema: S, most: number, wanted: string) =>
  v.pipe(v.array(schema, wanted), v.minLength(1, 'expected at least one entry'), v.maxLength(most, `at most ${most}`));

const choice = <const T extends readonly (string | number)[]>(options: T) =>
  v.picklist(options, ({ input }) => `found ${shown(input)}; allowed: ${options.join(', ')}`);

const line = v.pipe(v.string(), v.regex(CHANNEL_NAME, 'a line is a letter, then up to 23 letters, digits, + - or _'));

const knobs = v.record(v.string(), v.pipe(v.number('expected a number'), v.finite('expected a finite number')));

const size = v.pipe(
  v.number(({ input }) => `found ${shown(input)}; expected a number of pixels`),
  v.integer('expected a whole number of pixels'),
  v.minValue(16, 'at least 16 pixels'),
  v.maxValue(100_000, 'at most 100000 pixels'),
);

const form = {
  size: about(v.optional(size), 'Longest side in pixels (default: full size).'),
  bits: about(v.optional(choice([8, 16, 32])), 'Bits per sample (default: 16 for TIFF and PNG, 32 for FITS).'),
  space: about(v.optional(choice(['srgb', 'display-p3', 'srgb-linear'])), "Colour space instead of the recipe's."),
  alpha: about(v.optional(v.boolean('expected true or false')), 'Whether pixels without data become transparent.'),
  crop: about(v.optional(v.boolean('expected true or false')), 'Whether to cut to what all masters cover.'),
  stars: about(
    v.optional(v.boolean('expected true or false')),
    "Whether the target's stars are laid over, if it has any (default: true).",
  ),
};

const outputFull = v.strictObject({
  file: about(text(400), 'Name below `into`; `{target}`, `{recipe}` and `{line}` are replaced.'),
  ...form,
});

/** A file name alone stands for an output that leaves all else to the defaults. */
const output = v.lazy((input) => (typeof input === 'string' ? text(400) : outputFull));

const recipeFull = v.strictObject({
  recipe: about(
    v.union([text(100_000), v.looseObject({})], 'expected a recipe, its file, its link or its name in the catalogue'),
    'A file relative to the plan, a picture that contains a recipe, a share link, a catalogue name, or the recipe itself.',
  ),
  name: about(v.optional(text(120)), 'Name to use for `{recipe}` (default: the file’s or the catalogue’s name).'),
  knobs: about(v.optional(knobs), 'Values for knobs of the recipe.'),
});

const recipe = v.lazy((input) => (typeof input === 'string' ? text(100_000) : recipeFull));

const file = text(4096, 'expected the name of a file');

const target = v.strictObject({
  name: about(v.optional(text(200)), 'What the target is called, with `masters`.'),
  masters: about(
    v.optional(
      v.record(
        line,
        v.union([file, list(file, 100, 'expected files')], 'expected the name of a file, or a list of names'),
      ),
    ),
    'Line → file relative to the plan; several files of one line are combined.',
  ),
  stars: about(
    v.optional(v.union([file, list(file, 3, 'expected files')], 'expected a picture of the stars, or three in a list')),
    'A colour picture of the stars to lay over, or three: red, green and blue. With `pattern` a pattern as well, below `folder` and with `{target}`.',
  ),
  pattern: about(
    v.optional(text(400)),
    'Instead: finds targets by file name below `folder`. `{target}` and `{line}` match names, `*` any characters, `?` one.',
  ),
  folder: about(v.optional(text(4096)), "Where `pattern` starts (default: the plan's own folder)."),
  lines: about(v.optional(v.record(v.string(), line)), 'What a `{line}` in file names means, where it is not plain.'),
  only: about(
    v.optional(list(text(200), MOST_TARGETS, 'expected a list of names')),
    'Takes only these of the targets found.',
  ),
  recipes: about(v.optional(list(recipe, 200, 'expected recipes')), "Recipes instead of the plan's."),
  outputs: about(v.optional(list(output, 50, 'expected outputs')), "Outputs instead of the plan's."),
  knobs: about(v.optional(knobs), 'Values for knobs, set on every recipe that has them.'),
});

const sheet = v.strictObject({
  file: about(v.optional(text(400)), 'Name below `into` (default: `sheet.png`).'),
  size: about(v.optional(size), 'Longest side of each picture in pixels (default: 320).'),
});

/** What `linewash batch` reads: targets × recipes × outputs. */
export const batchSchema = v.strictObject({
  linewash: about(
    v.optional(v.literal(BATCH_VERSION, `this linewash reads plans of version ${BATCH_VERSION}`)),
    'Version of the format.',
  ),
  about: about(v.optional(text(2000)), 'Words of your own.'),
  targets: about(
    list(target, MOST_TARGETS, 'expected a list of targets'),
    'What is photographed, and where its masters are.',
  ),
  recipes: about(v.optional(list(recipe, 200, 'expected a list of recipes')), 'Applied to every target.'),
  into: about(v.optional(text(4096)), "Folder of all results, relative to the plan (default: the plan's own)."),
  outputs: about(v.optional(list(output, 50, 'expected a list of outputs')), 'Made of every target by every recipe.'),
  defaults: about(v.optional(v.strictObject(form)), 'Defaults for all outputs.'),
  sheet: about(
    v.optional(v.nullable(sheet)),
    'One picture of the whole batch, a row a target and a column a recipe; null for none.',
  ),
});

/** A plan: targets, recipes and outputs, as `docs/batch.md` describes it. */
export interface BatchPlan extends v.InferOutput<typeof batchSchema> {}
export type TargetEntry = BatchPlan['targets'][number];
export type RecipeEntry = v.InferOutput<typeof recipeFull>;
export type OutputEntry = v.InferOutput<typeof outputFull>;
export type OutputForm = Omit<OutputEntry, 'file'>;
