import * as v from 'valibot';
import { GAMUT_NAMES } from '../../colour/gamut.ts';
import { BALANCE_NAMES } from '../../mix/balance.ts';
import { KNOB_NAME } from '../../mix/expression-tokens.ts';
import { MAX_CHANNELS } from '../../plane/name.ts';
import { about, byChannel, channelName, choice, expression, number, shown, text } from './fields.ts';
import { finish } from './finish-schema.ts';
import { RECIPE_VERSION, WEIGHT_RANGE } from './limits.ts';
import { background, continuum, levels, scale, smooth, spots, stars, stretch } from './preparation-schema.ts';

export { RECIPE_VERSION } from './limits.ts';

const weight = v.union(
  [number(...WEIGHT_RANGE), expression],
  ({ input }) => `found ${shown(input)}; a weight is a number or an expression such as "1 - share"`,
);

const knobName = v.pipe(
  v.string('a knob has a name'),
  v.regex(KNOB_NAME, 'a knob is named with a letter, then up to 23 letters, digits or _'),
);

const knob = v.strictObject({
  value: about(number(-1000, 1000), 'The value it has unless another is given.'),
  min: about(v.optional(number(-1000, 1000)), 'Its smallest value (default: 0).'),
  max: about(v.optional(number(-1000, 1000)), 'Its largest value (default: 1).'),
  about: about(v.optional(text(200)), 'What it does, in a few words.'),
});

const lineColour = v.union(
  [text(200), v.strictObject({ wavelength: about(number(380, 780), 'Wavelength in air in nm.') })],
  ({ input }) => `found ${shown(input)}; expected a CSS colour or {"wavelength": nm}`,
);

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
        v.array(v.array(weight, 'expected a row of weights'), 'expected three rows of weights'),
        v.length(3, 'the matrix has three rows: red, green and blue'),
      ),
    ),
    'Weights: rows red, green, blue; one column for each channel. A weight is a number or an expression over the knobs. Either this or `lines`.',
  ),
  lines: about(
    v.optional(v.record(channelName, lineColour)),
    'The colour that each channel gets at full strength: a CSS colour or `{"wavelength": nm}`; the weights follow from it. Either this or `matrix`.',
  ),
  balance: about(v.optional(choice(BALANCE_NAMES)), 'How the matrix is normalized (default: `as-written`).'),
  white: about(
    v.optional(byChannel(number(0, 1))),
    'For the balance `white`: the stretched value of each channel that becomes white, 0…1 (default: 1).',
  ),
  space: about(
    v.optional(choice(['srgb', 'display-p3', 'srgb-linear'])),
    'Colour space of the result (default: `srgb`).',
  ),
  mixIn: about(
    v.optional(choice(['display', 'light'])),
    'Whether weights mix display values (the common practice) or linear light (default: `display`).',
  ),
  background: about(v.optional(background), 'How the sky background is removed (default: its level).'),
  scale: about(
    v.optional(scale),
    'How channels are scaled to each other: `each` has its own white point, `together` keeps true ratios, `fit` matches them to a reference line, `noise` gives all the same noise, `hours` divides by the exposure, numbers multiply (default: `each`).',
  ),
  continuum: about(
    v.optional(continuum),
    'Lines from which a share of a broadband picture is subtracted: line − k · broadband.',
  ),
  spots: about(
    v.optional(spots),
    'Bright spots that only one line has, such as hot pixels: `fill` fills those that checking the lines lists; or their places by channel. They stay if absent.',
  ),
  smooth: about(
    v.optional(smooth),
    'Removes noise from weak lines: what follows the strongest line stays, the rest stays where it exceeds its noise. Off if absent.',
  ),
  zeros: about(
    v.optional(choice(['undefined', 'data'])),
    'Whether zeros connected to the border (in float masters also values near 1e-12 that resampling leaves of them) are missing data (default: `undefined`).',
  ),
  stars: about(
    v.optional(stars),
    'What becomes of the stars: those in the masters, or a separate picture of them that is laid over the mix.',
  ),
  levels: about(v.optional(byChannel(levels)), 'Black and white points by channel; `*` means all others.'),
  stretch: about(v.optional(byChannel(stretch)), 'Curve by channel; `*` means all others.'),
  finish: about(
    v.optional(finish),
    'What happens to the mixed colours in OKLab, before they are brought into the space: tone, chroma and hue.',
  ),
  highlights: about(
    v.optional(choice(['ratio', 'clip'])),
    'Values above 1: `ratio` divides the pixel by its largest value and keeps the hue, `clip` cuts each colour.',
  ),
  gamut: about(
    v.optional(choice(GAMUT_NAMES)),
    'Colours outside the space: `smooth` reduces chroma without jumps, `chroma` at exactly constant hue, `css` maps as CSS Color 4, `clip` cuts (default: `smooth`).',
  ),
  lightness: about(
    v.optional(
      v.nullable(v.union([v.array(weight), v.string('expected a channel name, `least-noise` or a row of weights')])),
    ),
    'A row of weights, a channel, or `least-noise`: its mix replaces the luminance, ratios kept. Off if absent or null.',
  ),
  greenLimit: about(
    v.optional(number(0, 1)),
    'How firmly green is held under its ceiling: 0 not at all, 1 wholly (default: 0). A bend at green with a chroma below 1 does it without changing the luminance.',
  ),
  greenMean: about(
    v.optional(choice(['mean', 'max'])),
    'The ceiling on green: `mean` lies halfway between red and blue, `max` is the stronger of them (default: `mean`).',
  ),
});

/** A recipe as written: weights may be expressions over knobs, or follow from the colours of the lines. */
export interface WrittenRecipe extends v.InferOutput<typeof recipeSchema> {}
export type KnobEntry = v.InferOutput<typeof knob>;
export type LineColourEntry = v.InferOutput<typeof lineColour>;
/** A recipe whose weights are numbers, which is what settling starts from: everything but the matrix may be absent. */
export interface Recipe
  extends Omit<WrittenRecipe, 'knobs' | 'lines' | 'matrix' | 'lightness' | 'smooth' | 'stars' | 'finish'> {
  matrix: number[][];
  smooth?: SmoothWish | undefined;
  finish?: FinishWish | undefined;
  stars?: PlainStars | undefined;
  lightness?: number[] | string | null | undefined;
}
export type WrittenSmooth = v.InferOutput<typeof smooth>;
/** Smoothing with its strength a number. */
export interface SmoothWish extends Omit<WrittenSmooth, 'strength'> {
  strength?: number | undefined;
}
export type WrittenFinish = v.InferOutput<typeof finish>;
/** A finish with its numbers as numbers; what is absent is found or usual. */
export interface FinishWish {
  tone?: [number, number][] | undefined;
  chroma?:
    | 'auto'
    | { gain?: number | undefined; from?: number | undefined; to?: number | undefined; until?: number | undefined }
    | undefined;
  bends?:
    | { at: number; to?: number | undefined; width?: number | undefined; chroma?: number | undefined }[]
    | undefined;
}
export type StretchWish = v.InferOutput<typeof stretch>;
export type LevelsEntry = v.InferOutput<typeof levels>;
export type BackgroundWish = v.InferOutput<typeof background>;
export type StarsWish = v.InferOutput<typeof stars>;
/** Stars with their tint as linear light of the space. */
export interface PlainStars extends Omit<StarsWish, 'tint'> {
  tint?: [number, number, number] | undefined;
}
