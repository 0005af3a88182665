/** The functions of `linewash/parts`, which look at their arguments first. */
import { openPlane as openPlaneInside } from '../formats/open.ts';
import { formatOf as formatOfInside } from '../formats/pictures.ts';
import { adviseHours as adviseHoursInside } from '../hours/advice.ts';
import { futureNoise as futureNoiseInside } from '../hours/future.ts';
import { ledger as ledgerInside } from '../hours/ledger.ts';
import { monteCarlo as monteCarloInside } from '../hours/monte-carlo.ts';
import { surveyChannels as surveyChannelsInside } from '../hours/survey-channels.ts';
import { borderZeros as borderZerosInside } from '../measure/border.ts';
import { measureChannels as measureChannelsInside } from '../measure/measure.ts';
import { fitTogether as fitTogetherInside } from '../measure/together.ts';
import {
  box,
  byteSource,
  bytes,
  checked,
  finite,
  list,
  mask,
  object,
  optional,
  pictureForm,
  plane,
  planeSourceShape,
  table,
  text,
  whole,
  workOptions,
} from '../plane/arguments.ts';
import { memorySource as memorySourceInside } from '../plane/bytes.ts';
import { hidePixels as hidePixelsInside, planeSource as planeSourceInside } from '../plane/memory-plane.ts';
import { shrink as shrinkInside } from '../plane/shrink.ts';
import { combined as combinedInside } from '../prepare/combine.ts';
import { matchMasters as matchMastersInside } from '../prepare/match.ts';
import { neededChannels as neededChannelsInside } from '../recipe/settle/channels.ts';
import { pictureLayers as pictureLayersInside } from '../recipe/settle/layered.ts';
import { preparedChannels as preparedChannelsInside } from '../recipe/settle/prepared.ts';
import { settle as settleInside, usedChannels as usedChannelsInside } from '../recipe/settle/settle.ts';
import { settledRecipe as settledRecipeInside } from '../recipe/settle/settled-recipe.ts';
import { describeRecipe as describeRecipeInside } from '../recipe/share/describe.ts';
import { recipeDiff as recipeDiffInside } from '../recipe/share/diff.ts';
import {
  isLink as isLinkInside,
  recipeFromLink as recipeFromLinkInside,
  recipeLink as recipeLinkInside,
} from '../recipe/share/link.ts';
import { sampleLines as sampleLinesInside } from '../recipe/suggest/sample.ts';
import { suggestMixes as suggestMixesInside } from '../recipe/suggest/suggest.ts';
import { canonicalForm as canonicalFormInside } from '../recipe/written/canonical.ts';
import { recipeHash as recipeHashInside } from '../recipe/written/hash.ts';
import { withKnobs as withKnobsInside } from '../recipe/written/knobs.ts';
import { asLines as asLinesInside } from '../recipe/written/line-colours.ts';
import { loadRecipe as loadRecipeInside, parseRecipe as parseRecipeInside } from '../recipe/written/parse.ts';
import { plainRecipe as plainRecipeInside } from '../recipe/written/plain.ts';
import { recipeText as recipeTextInside } from '../recipe/written/serialize.ts';
import { pictureInMemory as pictureInMemoryInside } from '../render/picture.ts';
import { exposures, hoursWish, ledgerPlace, ledgerShape, lineSample, lineStats, measured } from './noise-shapes.ts';
import { settled, settledChannel } from './settled-shape.ts';
import { channels, knobValues, named, plain, recipe, sizeOf } from './shapes.ts';

export const openPlane = checked('openPlane', openPlaneInside, [byteSource, optional(object())]);
export const formatOf = checked('formatOf', formatOfInside, [text]);
export const adviseHours = checked(
  'adviseHours',
  adviseHoursInside,
  [ledgerShape, lineStats, exposures, hoursWish],
  ({ lines }, stats, exposed) =>
    stats.length === lines.length && exposed.length === lines.length
      ? undefined
      : `the ledger has ${lines.length} lines, but there are ${stats.length} readings and ${exposed.length} exposures`,
);
export const futureNoise = checked('futureNoise', futureNoiseInside, [ledgerPlace, list(finite)], (place, factors) =>
  factors.length === place.lineNoise.length
    ? undefined
    : `${factors.length} factors are given for ${place.lineNoise.length} lines`,
);
export const ledger = checked('ledger', ledgerInside, [settled, lineStats], (numbers, stats) => {
  const missing = numbers.channels.find(({ name }) => !stats.some((some) => some.name === name));
  return missing && `nothing is known of the noise of ${missing.name}`;
});
export const monteCarlo = checked(
  'monteCarlo',
  monteCarloInside,
  [settled, ledgerPlace, whole(2), optional(whole(0))],
  ({ channels }, { values, lineNoise }) =>
    values.length === channels.length && lineNoise.length === channels.length
      ? undefined
      : `the place is one of ${values.length} lines, the settled numbers are of ${channels.length}`,
);
export const surveyChannels = checked(
  'surveyChannels',
  surveyChannelsInside,
  [
    settled,
    measured,
    channels,
    optional(
      object({
        time: optional(table(finite)),
        box: optional(box),
        outline: optional(list(list(finite, 6), 1)),
        background: optional(box),
      }),
    ),
  ],
  (numbers, found, prepared) => {
    const missing = numbers.channels.find(
      ({ name }) => !found.some((some) => some.name === name) || !prepared.some((some) => some.name === name),
    );
    return missing && `no measured channel ${missing.name} is given`;
  },
);
export const borderZeros = checked('borderZeros', borderZerosInside, [planeSourceShape, workOptions]);
export const measureChannels = checked('measureChannels', measureChannelsInside, [channels, workOptions]);
export const fitTogether = checked('fitTogether', fitTogetherInside, [channels, workOptions]);
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
export const loadRecipe = checked('loadRecipe', loadRecipeInside, [text, optional(text)]);
export const parseRecipe = checked('parseRecipe', parseRecipeInside, [text, optional(text)]);
export const plainRecipe = checked('plainRecipe', plainRecipeInside, [recipe, knobValues]);
export const pictureLayers = checked('pictureLayers', pictureLayersInside, [settled, channels]);
export const preparedChannels = checked('preparedChannels', preparedChannelsInside, [
  object({ channels: list(named) }),
  channels,
]);
export const recipeText = checked('recipeText', recipeTextInside, [recipe]);
export const settle = checked('settle', settleInside, [plain, measured, optional(object())]);
export const usedChannels = checked('usedChannels', usedChannelsInside, [plain]);
export const neededChannels = checked('neededChannels', neededChannelsInside, [plain]);
export const settledRecipe = checked('settledRecipe', settledRecipeInside, [settled, object()]);
export const sampleLines = checked(
  'sampleLines',
  sampleLinesInside,
  [list(settledChannel, 1), list(plane, 1)],
  (lines, planes) => {
    if (lines.length !== planes.length) return `${planes.length} planes are given for ${lines.length} channels`;
    const other = planes.find((some) => sizeOf(some) !== sizeOf(planes[0]!));
    return other && `one plane is ${sizeOf(other)} pixels, another ${sizeOf(planes[0]!)}`;
  },
);
export const suggestMixes = checked(
  'suggestMixes',
  suggestMixesInside,
  [lineSample],
  ({ names, noise, mean, covariance }) =>
    [noise, mean, covariance, ...covariance].every(({ length }) => length === names.length)
      ? undefined
      : `noise, mean and covariance are not those of ${names.length} lines`,
);
export const pictureInMemory = checked('pictureInMemory', pictureInMemoryInside, [pictureForm]);
export const shrink = checked('shrink', shrinkInside, [planeSourceShape, whole(1), workOptions]);
