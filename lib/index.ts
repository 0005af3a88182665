/** The public, platform-free API of linewash. */

export { SPACES } from './colour/spaces.ts';
export { openPlane } from './formats/open.ts';
export { formatOf, PICTURE_FORMATS, type PictureFormat } from './formats/pictures.ts';
export { borderZeros } from './measure/border.ts';
export { type Channel, type MeasureOptions, measureChannels } from './measure/measure.ts';
export { BALANCES, type BalanceName, type Weights } from './mix/balance.ts';
export { CATALOGUE, type CatalogueEntry, catalogueRecipe } from './palettes/catalogue.ts';
export { type ByteSink, type ByteSource, memorySink, memorySource } from './plane/bytes.ts';
export { type ErrorFields, type ErrorTag, type Fault, LinewashError } from './plane/errors.ts';
export type { Card, HeaderFacts } from './plane/facts.ts';
export type { Measured } from './plane/measured.ts';
export { hidePixels, planeSource } from './plane/memory-plane.ts';
export type { OutputSample, PictureInfo, PictureWriter, SpaceName } from './plane/picture.ts';
export type { Plane, PlaneSource, RawRows, Samples, SampleType } from './plane/plane.ts';
export { VERSION } from './plane/version.ts';
export { checkedRecipe, parseRecipe } from './recipe/parse.ts';
export type { Recipe } from './recipe/schema.ts';
export { settle, usedChannels } from './recipe/settle.ts';
export type { Settled, SettledChannel, SettledStretch } from './recipe/settled.ts';
export { type Picture, pictureInMemory, renderPicture } from './render/picture.ts';
export { shrink } from './render/shrink.ts';
export { CURVES, type CurveName } from './stretch/curves.ts';
