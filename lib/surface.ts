/** `linewash` where there are no files, as its types and reference show it: the verbs; `index.ts` gives what it runs. */

export type { Channel } from './measure/measure.ts';
export { type CatalogueName, catalogueRecipe } from './palettes/catalogue.ts';
export type { ByteSink, ByteSource } from './plane/bytes.ts';
export { type ErrorFields, type ErrorTag, type Fault, LinewashError, type Remedy } from './plane/errors.ts';
export type { Executor } from './plane/executor.ts';
export type { Measured } from './plane/measured.ts';
export type { OutputRows, OutputSample, PictureInfo, PictureWriter, SpaceName } from './plane/picture.ts';
export type { PictureFacts } from './plane/picture-facts.ts';
export type { PlaneSource, Samples } from './plane/plane.ts';
export type { Progress } from './plane/progress.ts';
export type { Sky, SkyDistortion, SkyTerm } from './plane/sky.ts';
export type { StripOptions } from './plane/strips.ts';
export type { Spots } from './prepare/fill.ts';
export { type ChannelsResult, settleChannels } from './recipe/settle/settle-channels.ts';
export type { Settled, SettledChannel } from './recipe/settle/settled.ts';
export { openRecipe } from './recipe/written/open.ts';
export type { FinishWish, PlainStars, Recipe, SmoothWish, WrittenRecipe } from './recipe/written/schema.ts';
export type { KernelForm } from './render/kernel.ts';
export type { Legend } from './render/legend-form.ts';
export { type MixArraysForm, type MixMatrix, mixArrays } from './render/mix-arrays.ts';
export { type Picture, renderPicture } from './render/picture.ts';
