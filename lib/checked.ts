/** The functions of the public API, which look at their arguments first. */
import { openPlane as openPlaneInside } from './formats/open.ts';
import { formatOf as formatOfInside } from './formats/pictures.ts';
import { adviseHours as adviseHoursInside } from './hours/advice.ts';
import { futureNoise as futureNoiseInside } from './hours/future.ts';
import { ledger as ledgerInside } from './hours/ledger.ts';
import { monteCarlo as monteCarloInside } from './hours/monte-carlo.ts';
import { surveyChannels as surveyChannelsInside } from './hours/survey-channels.ts';
import { borderZeros as borderZerosInside } from './measure/border.ts';
import { measureChannels as measureChannelsInside } from './measure/measure.ts';
import { fitTogether as fitTogetherInside } from './measure/together.ts';
import { catalogueRecipe as catalogueRecipeInside } from './palettes/catalogue.ts';
import {
  also,
  byteSource,
  bytes,
  channel,
  checked,
  finite,
  flag,
  list,
  mask,
  method,
  object,
  oneOf,
  optional,
  pictureForm,
  plane,
  planeSourceShape,
  type Shape,
  samples,
  table,
  text,
  whole,
  workOptions,
} from './plane/arguments.ts';
import { memorySource as memorySourceInside } from './plane/bytes.ts';
import { hidePixels as hidePixelsInside, planeSource as planeSourceInside } from './plane/memory-plane.ts';
import { combined as combinedInside } from './prepare/combine.ts';
import { matchMasters as matchMastersInside } from './prepare/match.ts';
import {
  neededChannels as neededChannelsInside,
  settleChannels as settleChannelsInside,
} from './recipe/settle/channels.ts';
import { preparedChannels as preparedChannelsInside } from './recipe/settle/prepared.ts';
import { settle as settleInside, usedChannels as usedChannelsInside } from './recipe/settle/settle.ts';
import { settledRecipe as settledRecipeInside } from './recipe/settle/settled-recipe.ts';
import { describeRecipe as describeRecipeInside } from './recipe/share/describe.ts';
import { recipeDiff as recipeDiffInside } from './recipe/share/diff.ts';
import {
  isLink as isLinkInside,
  recipeFromLink as recipeFromLinkInside,
  recipeLink as recipeLinkInside,
} from './recipe/share/link.ts';
import { sampleLines as sampleLinesInside } from './recipe/suggest/sample.ts';
import { suggestMixes as suggestMixesInside } from './recipe/suggest/suggest.ts';
import { canonicalForm as canonicalFormInside } from './recipe/written/canonical.ts';
import { recipeHash as recipeHashInside } from './recipe/written/hash.ts';
import { withKnobs as withKnobsInside } from './recipe/written/knobs.ts';
import { asLines as asLinesInside } from './recipe/written/line-colours.ts';
import { openRecipe as openRecipeInside } from './recipe/written/open.ts';
import { loadRecipe as loadRecipeInside, parseRecipe as parseRecipeInside } from './recipe/written/parse.ts';
import { plainRecipe as plainRecipeInside } from './recipe/written/plain.ts';
import { recipeText as recipeTextInside } from './recipe/written/serialize.ts';
import { mixArrays as mixArraysInside } from './render/mix-arrays.ts';
import { pictureInMemory as pictureInMemoryInside, renderPicture as renderPictureInside } from './render/picture.ts';
import { shrink as shrinkInside } from './render/shrink.ts';

const sizeOf = ({ width, height }: { readonly width: number; readonly height: number }) => `${width} × ${height}`;

const named = object({ name: text });
const channels = list(channel);
const measured = list(object({ name: text, level: finite, noise: finite }));
const settled = object({ channels: list(named), matrix: list(list(finite), 3) });
/** A recipe as it is written, or with numbers only. */
const recipe = also(
  object({
    matrix: optional(
      list(
        list(() => undefined),
        3,
      ),
    ),
    channels: optional(list(text)),
    lines: optional(object()),
  }),
  'a recipe has a matrix or lines',
  ({ matrix, lines }: { matrix?: unknown; lines?: unknown }) => matrix !== undefined || lines !== undefined,
);
/** One whose weights are numbers: `plainRecipe` makes it of any other. */
const plain = object({ matrix: list(list(finite), 3), channels: optional(list(text)) });
/** A recipe whose weights are numbers, or the weights alone. */
const matrixOrRecipe: Shape = (value) => (Array.isArray(value) ? list(list(finite), 3)(value) : plain(value));
const values = optional(table(finite));

export const openPlane = checked('openPlane', openPlaneInside, [byteSource, optional(object())]);
export const formatOf = checked('formatOf', formatOfInside, [text]);
export const adviseHours = checked('adviseHours', adviseHoursInside, [
  object({ lines: list(text), background: object() }),
  list(named),
  list(named),
  object({ goal: text }),
]);
export const futureNoise = checked(
  'futureNoise',
  futureNoiseInside,
  [object({ lineNoise: list(finite), jacobian: list(list(finite), 3) }), list(finite)],
  (place, factors) =>
    factors.length === place.lineNoise.length
      ? undefined
      : `${factors.length} factors are given for ${place.lineNoise.length} lines`,
);
export const ledger = checked('ledger', ledgerInside, [settled, list(named)]);
export const monteCarlo = checked('monteCarlo', monteCarloInside, [
  settled,
  object({ values: list(finite), lineNoise: list(finite) }),
  whole(2),
  optional(whole(0)),
]);
export const surveyChannels = checked('surveyChannels', surveyChannelsInside, [settled, measured, channels]);
export const borderZeros = checked('borderZeros', borderZerosInside, [planeSourceShape, workOptions]);
export const measureChannels = checked('measureChannels', measureChannelsInside, [channels, workOptions]);
export const fitTogether = checked('fitTogether', fitTogetherInside, [channels, workOptions]);
export const catalogueRecipe = checked('catalogueRecipe', catalogueRecipeInside, [text]);
export const memorySource = checked('memorySource', memorySourceInside, [text, bytes]);
export const hidePixels = checked('hidePixels', hidePixelsInside, [planeSourceShape, mask], (source, hidden) =>
  source.width === hidden.width && source.height === hidden.height
    ? undefined
    : `the mask is ${sizeOf(hidden)} pixels, ${source.file} is ${sizeOf(source)}`,
);
export const planeSource = checked('planeSource', planeSourceInside, [text, plane, optional(object())]);
export const combined = checked('combined', combinedInside, [
  list(object({ source: planeSourceShape, scale: finite, offset: finite, weight: finite }), 1),
]);
export const matchMasters = checked('matchMasters', matchMastersInside, [list(planeSourceShape, 1), workOptions]);
export const canonicalForm = checked('canonicalForm', canonicalFormInside, [recipe]);
export const describeRecipe = checked('describeRecipe', describeRecipeInside, [recipe]);
export const recipeDiff = checked('recipeDiff', recipeDiffInside, [recipe, recipe]);
export const recipeHash = checked('recipeHash', recipeHashInside, [recipe]);
export const withKnobs = checked('withKnobs', withKnobsInside, [recipe, table(finite)]);
export const asLines = checked('asLines', asLinesInside, [plain]);
export const isLink = checked('isLink', isLinkInside, [text]);
export const recipeFromLink = checked('recipeFromLink', recipeFromLinkInside, [text]);
export const recipeLink = checked('recipeLink', recipeLinkInside, [recipe, optional(text)]);
export const openRecipe = checked('openRecipe', openRecipeInside, [byteSource]);
export const loadRecipe = checked('loadRecipe', loadRecipeInside, [text, optional(text)]);
export const parseRecipe = checked('parseRecipe', parseRecipeInside, [text, optional(text)]);
export const plainRecipe = checked('plainRecipe', plainRecipeInside, [recipe, values]);
export const preparedChannels = checked('preparedChannels', preparedChannelsInside, [
  object({ channels: list(named) }),
  channels,
]);
export const recipeText = checked('recipeText', recipeTextInside, [recipe]);
export const settle = checked('settle', settleInside, [plain, measured, optional(object())]);
export const usedChannels = checked('usedChannels', usedChannelsInside, [plain]);
export const neededChannels = checked('neededChannels', neededChannelsInside, [plain]);
export const settleChannels = checked('settleChannels', settleChannelsInside, [plain, channels, workOptions]);
export const settledRecipe = checked('settledRecipe', settledRecipeInside, [settled, object()]);
export const sampleLines = checked(
  'sampleLines',
  sampleLinesInside,
  [list(named, 1), list(plane, 1)],
  (lines, planes) => {
    if (lines.length !== planes.length) return `${planes.length} planes are given for ${lines.length} channels`;
    const other = planes.find((some) => sizeOf(some) !== sizeOf(planes[0]!));
    return other && `one plane is ${sizeOf(other)} pixels, another ${sizeOf(planes[0]!)}`;
  },
);
export const suggestMixes = checked('suggestMixes', suggestMixesInside, [object({ names: list(text, 1) })]);
export const pictureInMemory = checked('pictureInMemory', pictureInMemoryInside, [pictureForm]);
export const renderPicture = checked(
  'renderPicture',
  renderPictureInside,
  [channels, settled, pictureForm, object({ writeRows: method, finish: method }), workOptions],
  (given, numbers, info) => {
    for (const { name } of numbers.channels) {
      const source = given.find((some) => some.name === name)?.source;
      if (source === undefined) return `no channel ${name} is given`;
      if (sizeOf(source) !== sizeOf(info))
        return `channel ${name} is ${sizeOf(source)} pixels, the picture ${sizeOf(info)}`;
    }
    return undefined;
  },
);
export const mixArrays = checked(
  'mixArrays',
  mixArraysInside,
  [
    table(samples),
    object({
      width: whole(1),
      height: whole(1),
      sample: optional(oneOf('u8', 'u16', 'f32')),
      alpha: optional(flag),
    }),
    matrixOrRecipe,
  ],
  (arrays, { width, height }, mix) => {
    const names = Object.keys(arrays);
    const wrong = names.find((name) => arrays[name]!.length !== width * height);
    if (wrong !== undefined)
      return `channel ${wrong} holds ${arrays[wrong]!.length} values, ${width} × ${height} pixels need ${width * height}`;
    const row = Array.isArray(mix) ? mix.find((some) => some.length !== names.length) : undefined;
    return row && `a row of the matrix has ${row.length} weights for ${names.length} channels`;
  },
);
export const shrink = checked('shrink', shrinkInside, [planeSourceShape, whole(1), workOptions]);
