/** The functions of `linewash` that need no files, which look at their arguments first. */
import { catalogueRecipe as catalogueRecipeInside } from './palettes/catalogue.ts';
import { settled } from './parts/settled-shape.ts';
import { channels, matrixOrRecipe, recipe, sizeOf } from './parts/shapes.ts';
import {
  byteSource,
  checked,
  flag,
  method,
  object,
  oneOf,
  optional,
  pictureForm,
  samples,
  table,
  text,
  whole,
  workOptions,
} from './plane/arguments.ts';
import { settleChannels as settleChannelsInside } from './recipe/settle/settle-channels.ts';
import { openRecipe as openRecipeInside } from './recipe/written/open.ts';
import { mixArrays as mixArraysInside } from './render/mix-arrays.ts';
import { renderPicture as renderPictureInside } from './render/picture.ts';

export const catalogueRecipe = checked('catalogueRecipe', catalogueRecipeInside, [text]);
export const openRecipe = checked('openRecipe', openRecipeInside, [byteSource]);
export const settleChannels = checked('settleChannels', settleChannelsInside, [recipe, channels, workOptions]);
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
