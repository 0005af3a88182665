/** `linewash/parts`, free of platforms, as its types and reference show it: what the verbs are made of. */

export type { Space } from '../colour/space.ts';
export { SPACES } from '../colour/spaces.ts';
export type { Separation, Viewer } from '../colour/statistics.ts';
export type { Transfer, TransferName } from '../colour/transfer.ts';
export type { VisionName } from '../colour/vision.ts';
export type { Bend, ChromaGain, Finish } from '../finish/finish.ts';
export { openPlane } from '../formats/open.ts';
export { formatOf, PICTURE_FORMATS, type PictureFormat } from '../formats/pictures.ts';
export type { Selector } from '../formats/selector.ts';
export { adviseHours, type Goal, type HoursAdvice, type HoursWish } from '../hours/advice.ts';
export type { Allocation, Share } from '../hours/allocate.ts';
export type { Camera } from '../hours/ccd.ts';
export type { NoiseCorrelation } from '../hours/correlation.ts';
export type { Exposure } from '../hours/exposure.ts';
export { type FutureNoise, futureNoise } from '../hours/future.ts';
export type { LineWish } from '../hours/goal.ts';
export {
  type BoxReading,
  type Ledger,
  type LedgerBox,
  type LedgerPlace,
  type LedgerSmoothed,
  type LineStats,
  ledger,
  type Reading,
} from '../hours/ledger.ts';
export { type MonteCarlo, monteCarlo } from '../hours/monte-carlo.ts';
export type { Quantity } from '../hours/outputs.ts';
export type { SnrOf, SnrStep } from '../hours/snr.ts';
export type { LineSurvey, SurveyOptions } from '../hours/survey.ts';
export { type SurveyChannelsOptions, type SurveyedChannels, surveyChannels } from '../hours/survey-channels.ts';
export type { Texture } from '../hours/texture.ts';
export { borderZeros } from '../measure/border.ts';
export type { FilterFault } from '../measure/filters.ts';
export type { CopyFault } from '../measure/identity.ts';
export { type Channel, type MeasureChannelsOptions, measureChannels } from '../measure/measure.ts';
export type { ChannelRegistration } from '../measure/registration/channels.ts';
export type { RegistrationFault } from '../measure/registration/faults.ts';
export type { Unregistered } from '../measure/registration/register.ts';
export type { Registered, TileShift } from '../measure/registration/report.ts';
export { fitTogether, type Misfit, type Together } from '../measure/together.ts';
export { BALANCES, type BalanceContext, type BalanceKind, type BalanceName, type Weights } from '../mix/balance.ts';
export { CATALOGUE, type CatalogueEntry, type CatalogueName } from '../palettes/catalogue.ts';
export type { Block, BlockGrid, BlockLimits, BlockMeasuring } from '../plane/block-grid.ts';
export type { Box } from '../plane/box.ts';
export { type ByteSink, type ByteSource, type MemorySink, memorySink, memorySource } from '../plane/bytes.ts';
export type { Counting } from '../plane/counting.ts';
export type { ErrorFields, ErrorTag, Fault, Remedy } from '../plane/errors.ts';
export type { Executor } from '../plane/executor.ts';
export type { Card, HeaderFacts } from '../plane/facts.ts';
export type { Matrix, Triple } from '../plane/linear.ts';
export type { Mask } from '../plane/mask.ts';
export type { Measured } from '../plane/measured.ts';
export { hidePixels, planeSource } from '../plane/memory-plane.ts';
export type { FilePicture, Origin, OriginPart, PictureRows, SmoothedGroup, StarGroup } from '../plane/origin.ts';
export type { Rings } from '../plane/outline.ts';
export type {
  EncodedBand,
  OutputRows,
  OutputSample,
  PictureEncoder,
  PictureInfo,
  PictureLayout,
  PictureWriter,
  SpaceName,
} from '../plane/picture.ts';
export type { PictureFacts } from '../plane/picture-facts.ts';
export type { PieceKind, PieceWork, PieceWorking } from '../plane/piece-work.ts';
export type { Plane, PlaneSource, RawRows, Samples, SampleType } from '../plane/plane.ts';
export type { Progress } from '../plane/progress.ts';
export { shrink } from '../plane/shrink.ts';
export type { Sky, SkyDistortion, SkyTerm } from '../plane/sky.ts';
export type { StripOptions } from '../plane/strips.ts';
export { VERSION } from '../plane/version.ts';
export type { Shade } from '../prepare/background/shade.ts';
export type { Surface } from '../prepare/background/surface.ts';
export { combined, type Part } from '../prepare/combine.ts';
export type { Outliers } from '../prepare/combining/grow.ts';
export type { LevelLimits } from '../prepare/levels.ts';
export { type Match, type MatchedPart, matchMasters } from '../prepare/match.ts';
export { neededChannels } from '../recipe/settle/channels.ts';
export type { Findings } from '../recipe/settle/findings.ts';
export { type LayeredChannels, pictureLayers } from '../recipe/settle/layered.ts';
export {
  type Preparing,
  preparedChannels,
} from '../recipe/settle/prepared.ts';
export { type SettleResult, settle, usedChannels } from '../recipe/settle/settle.ts';
export type { ChannelsResult } from '../recipe/settle/settle-channels.ts';
export type {
  Settled,
  SettledChannel,
  SettledContinuum,
  SettledOutliers,
  SettledOwnStars,
  SettledPart,
  SettledSmooth,
  SettledStars,
  SettledStretch,
} from '../recipe/settle/settled.ts';
export { settledRecipe } from '../recipe/settle/settled-recipe.ts';
export {
  type DescribedKnob,
  type DescribedLine,
  type DescribedPair,
  describeRecipe,
  type RecipeDescription,
} from '../recipe/share/describe.ts';
export { recipeDiff } from '../recipe/share/diff.ts';
export { isLink, recipeFromLink, recipeLink } from '../recipe/share/link.ts';
export type { Judgement } from '../recipe/suggest/judge.ts';
export { type LineSample, sampleLines } from '../recipe/suggest/sample.ts';
export { type Suggestion, type Suggestions, suggestMixes } from '../recipe/suggest/suggest.ts';
export { canonicalForm } from '../recipe/written/canonical.ts';
export { recipeHash } from '../recipe/written/hash.ts';
export type { JsonText } from '../recipe/written/json.ts';
export { type KnobValues, withKnobs } from '../recipe/written/knobs.ts';
export { asLines } from '../recipe/written/line-colours.ts';
export { checkedRecipe, loadRecipe, parseRecipe } from '../recipe/written/parse.ts';
export { plainRecipe } from '../recipe/written/plain.ts';
export type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';
export { recipeText } from '../recipe/written/serialize.ts';
export type { KernelForm } from '../render/kernel.ts';
export type { MixArraysForm, MixMatrix } from '../render/mix-arrays.ts';
export { type Picture, pictureInMemory } from '../render/picture.ts';
export type { LineNoise } from '../smooth/noise-model.ts';
export type { StarShape } from '../stars/shape.ts';
export type { FoundStars, PackedStars, StarLine } from '../stars/star-list.ts';
export type { CurveKind, CurveParameters } from '../stretch/curve.ts';
export { CURVES, type CurveName } from '../stretch/curves.ts';
export type { TalliedHours } from '../tally/exposed.ts';
export type { TallyLine, TallyTarget } from '../tally/tally.ts';
