import * as v from 'valibot';
import { GAMUT_NAMES } from '../colour/gamut.ts';
import { BALANCE_NAMES } from '../mix/balance.ts';
import { KNOB_NAME } from '../mix/expression-tokens.ts';
import { CHANNEL_NAME, MAX_CHANNELS, nearest } from '../plane/name.ts';
import { CURVE_NAMES } from '../stretch/curves.ts';

/** The version that this code reads and writes. */
export const RECIPE_VERSION = 1;

/** How a found value reads in a message. */
const shown = (input: unknown): string => {
  const text = typeof input === 'string' ? JSON.stringify(input) : String(input);
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
};

const choice = <const T extends readonly string[]>(options: T) =>
  v.picklist(options, ({ input }) => {
    const near = typeof input === 'string' ? nearest(input, options) : undefined;
    return `found ${shown(input)}; allowed: ${options.join(', ')}${near ? ` (did you mean ${near}?)` : ''}`;
  });

const text = (longest: number) =>
  v.pipe(v.string('a text is wanted'), v.maxLength(longest, `at most ${longest} characters`));

const number = (min: number, max: number) =>
  v.pipe(
    v.number(({ input }) => `found ${shown(input)}; a number from ${min} to ${max} is wanted`),
    v.finite('a finite number is wanted'),
    v.minValue(min, ({ input }) => `found ${shown(input)}; the smallest allowed is ${min}`),
    v.maxValue(max, ({ input }) => `found ${shown(input)}; the largest allowed is ${max}`),
  );

const about = <const S extends v.GenericSchema>(schema: S, description: string) =>
  v.pipe(schema, v.description(description));

const channelName = v.pipe(
  v.string('a channel name is wanted'),
  v.regex(CHANNEL_NAME, 'a channel name is a letter, then up to 23 letters, digits, + - or _'),
);

const anyNumber = number(-3.4e38, 3.4e38);
const byChannel = <const S extends v.GenericSchema>(schema: S) =>
  v.record(v.union([v.literal('*'), channelName]), schema);

/** Weights larger than this are mistakes. */
export const WEIGHT_RANGE = [-1000, 1000] as const;
export const MAX_EXPRESSION = 500;

const weight = v.union(
  [
    number(...WEIGHT_RANGE),
    v.pipe(
      v.string(),
      v.regex(/\S/, 'an empty weight; write 0 for none'),
      v.maxLength(MAX_EXPRESSION, `an expression has at most ${MAX_EXPRESSION} characters`),
    ),
  ],
  ({ input }) => `found ${shown(input)}; a weight is a number or an expression such as "1 - share"`,
);

const knobName = v.pipe(
  v.string('a knob has a name'),
  v.regex(KNOB_NAME, 'a knob is named with a letter, then up to 23 letters, digits or _'),
);

const knob = v.strictObject({
  value: about(number(-1000, 1000), 'The value it has unless another is given.'),
  min: about(v.optional(number(-1000, 1000)), 'Its smallest value; 0 where absent.'),
  max: about(v.optional(number(-1000, 1000)), 'Its largest value; 1 where absent.'),
  about: about(v.optional(text(200)), 'What it does, in a few words.'),
});

const lineColour = v.union(
  [text(200), v.strictObject({ wavelength: about(number(380, 780), 'Wavelength in air in nm.') })],
  ({ input }) => `found ${shown(input)}; a CSS colour or {"wavelength": nm} is wanted`,
);

const point = v.tuple([number(0, 1), number(0, 1)]);

const stretch = v.strictObject({
  curve: about(v.optional(choice(CURVE_NAMES)), 'Family of curves; `bias` where absent.'),
  a: about(v.optional(number(1e-9, 1e9)), "The curve's parameter; where absent it is found from `background`."),
  background: about(
    v.optional(number(0.001, 0.9)),
    'Level at which the background shall appear, 0…1; 0.12 where absent.',
  ),
  points: about(v.optional(v.pipe(v.array(point), v.maxLength(32))), 'For `points`: [in, out] pairs, rising.'),
});

const levels = v.strictObject({
  black: about(
    v.optional(v.union([v.strictObject({ noise: number(-100, 100) }), anyNumber])),
    'Black point: `{"noise": k}` = k times the noise below the level, or a number in file units relative to the background.',
  ),
  white: about(
    v.optional(v.union([v.strictObject({ percentile: number(50, 100) }), anyNumber])),
    'White point: `{"percentile": p}`, or a number in file units relative to the background.',
  ),
});

const background = v.strictObject({
  model: about(v.optional(choice(['none', 'level'])), 'What is subtracted from each channel: nothing, or its level.'),
  at: about(v.optional(byChannel(anyNumber)), 'The level in file units where it is given rather than measured.'),
});

/**
 * The one definition of the recipe format: types, validation, the published JSON Schema and the reference page all
 * derive from it.
 */
export const recipeSchema = v.strictObject({
  linewash: about(
    v.optional(v.literal(RECIPE_VERSION, `this linewash reads version ${RECIPE_VERSION}`)),
    'Version of the format.',
  ),
  name: about(v.optional(text(120)), 'What the recipe is called.'),
  about: about(v.optional(text(2000)), 'When to use it and what it does.'),
  by: about(v.optional(text(200)), 'Who made it.'),
  licence: about(v.optional(text(60)), 'Licence of the recipe itself, as an SPDX identifier.'),
  channels: about(
    v.optional(
      v.pipe(v.array(channelName), v.minLength(1), v.maxLength(MAX_CHANNELS, `at most ${MAX_CHANNELS} channels`)),
    ),
    'Names of the channels, one for each column of the matrix; S, H, O where a row has three weights.',
  ),
  knobs: about(
    v.optional(v.record(knobName, knob)),
    'Named numbers that weights may be computed from, each shown as a slider.',
  ),
  matrix: about(
    v.optional(
      v.pipe(
        v.array(v.array(weight, 'a row of weights is wanted'), 'three rows of weights are wanted'),
        v.length(3, 'the matrix has three rows: red, green and blue'),
      ),
    ),
    'Weights: rows red, green, blue; one column for each channel. A weight is a number or an expression over the knobs. Either this or `lines`.',
  ),
  lines: about(
    v.optional(v.record(channelName, lineColour)),
    'The colour that each channel gets at full strength: a CSS colour or `{"wavelength": nm}`; the weights follow from it. Either this or `matrix`.',
  ),
  balance: about(v.optional(choice(BALANCE_NAMES)), 'How the matrix is normalized; `as-written` where absent.'),
  white: about(
    v.optional(byChannel(number(0, 1))),
    'For the balance `white`: the stretched value of each channel that becomes white, 0…1; 1 where absent.',
  ),
  space: about(
    v.optional(choice(['srgb', 'display-p3', 'srgb-linear'])),
    'Colour space of the result; `srgb` where absent.',
  ),
  mixIn: about(
    v.optional(choice(['display', 'light'])),
    'Whether weights mix display values (the usual habit) or linear light; `display` where absent.',
  ),
  background: about(v.optional(background), 'How the sky background is removed; its level where absent.'),
  scale: about(
    v.optional(choice(['each', 'together'])),
    'Whether each channel has a white point of its own or all share one scale; `each` where absent.',
  ),
  zeros: about(
    v.optional(choice(['undefined', 'data'])),
    'Whether exact zeros that hang together with the border are missing data; `undefined` where absent.',
  ),
  levels: about(v.optional(byChannel(levels)), 'Black and white points by channel; `*` stands for all others.'),
  stretch: about(v.optional(byChannel(stretch)), 'Curve by channel; `*` stands for all others.'),
  highlights: about(
    v.optional(choice(['ratio', 'clip'])),
    'Values above 1: `ratio` divides the pixel by its largest value and keeps the hue, `clip` cuts each colour.',
  ),
  gamut: about(
    v.optional(choice(GAMUT_NAMES)),
    'Colours outside the space: `chroma` reduces chroma at constant lightness and hue, `css` maps as CSS Color 4, `clip` cuts.',
  ),
  lightness: about(
    v.optional(
      v.nullable(v.union([v.array(weight), v.string('a channel name, `least-noise` or a row of weights is wanted')])),
    ),
    'A row of weights, a channel, or `least-noise`: its mix replaces the luminance, ratios kept. Off where absent or null.',
  ),
  greenLimit: about(
    v.optional(number(0, 1)),
    'How much of the green above the mean (or the larger) of red and blue is taken back; 0 where absent.',
  ),
  greenMean: about(
    v.optional(choice(['mean', 'max'])),
    'What green is limited to: `mean` or `max` of red and blue; `mean` where absent.',
  ),
});

/** A recipe as written: weights may be expressions over knobs, or follow from the colours of the lines. */
export type WrittenRecipe = v.InferOutput<typeof recipeSchema>;
export type KnobEntry = v.InferOutput<typeof knob>;
export type LineColourEntry = v.InferOutput<typeof lineColour>;
/** A recipe whose weights are numbers, which is what settling starts from: everything but the matrix may be absent. */
export type Recipe = Omit<WrittenRecipe, 'knobs' | 'lines' | 'matrix' | 'lightness'> & {
  matrix: number[][];
  lightness?: number[] | string | null | undefined;
};
export type StretchWish = v.InferOutput<typeof stretch>;
export type LevelsEntry = v.InferOutput<typeof levels>;
