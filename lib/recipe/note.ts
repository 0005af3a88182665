import { recipeError } from '../plane/errors.ts';
import type { OutputSample } from '../plane/picture.ts';
import { parseJson } from './json.ts';
import { ofVersion } from './migrate.ts';
import { checkedRecipe } from './parse.ts';
import { plainRecipe } from './plain.ts';
import type { RECIPE_VERSION, WrittenRecipe } from './schema.ts';
import type { Settled } from './settled.ts';

/** One master that went into a picture. */
export interface NoteInput {
  readonly channel: string;
  /** File name without folders. */
  readonly file: string;
  /** SHA-256 of the file's bytes, in hexadecimal. */
  readonly sha256?: string;
}

/** How a picture was asked to be written, where that is not what its format and its masters suggest. */
export interface NotePicture {
  readonly sample?: OutputSample;
  readonly alpha?: true;
  /** Cut to what all masters cover. */
  readonly crop?: true;
  /** Longest side it was shrunk to at most. */
  readonly size?: number;
}

interface PictureWish {
  readonly sample: OutputSample;
  /** The sample type that the format has unless another is asked for. */
  readonly usual: OutputSample;
  readonly alpha?: boolean | undefined;
  readonly crop?: boolean | undefined;
  readonly size?: number | undefined;
}

/** The part of a note that says how the picture was asked to be written; nothing for a plain full-size picture. */
export const notePicture = ({ sample, usual, alpha, crop, size }: PictureWish): { picture?: NotePicture } => {
  const picture: NotePicture = {
    ...(sample !== usual && { sample }),
    ...(alpha && { alpha }),
    ...(crop && { crop }),
    ...(size !== undefined && { size }),
  };
  return Object.keys(picture).length > 0 ? { picture } : {};
};

/** What every written picture carries: enough to open it as a recipe and to know what it was made from. */
export interface PictureNote {
  readonly linewash: typeof RECIPE_VERSION;
  /** As written, with the knobs as they were set. */
  readonly recipe: WrittenRecipe;
  readonly settled: Settled;
  readonly inputs: readonly NoteInput[];
  readonly picture?: NotePicture;
  /** Version of linewash that wrote the picture. */
  readonly writer: string;
}

/** JSON in pure ASCII: other characters as \u and four digits, so that every metadata field can hold it. */
export const noteText = (note: PictureNote): string =>
  // biome-ignore lint/suspicious/noControlCharactersInRegex: the range is exactly what ASCII leaves out
  JSON.stringify(note).replace(/[^\x00-\x7e]/g, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`);

/**
 * Reads the note of a picture. Only the recipe in it is checked: `settled` is what the file says.
 * @throws LinewashError 'recipe' where the text is no note or its recipe is at fault.
 */
export const parseNote = async (text: string, file?: string): Promise<{ recipe: WrittenRecipe; settled: unknown }> => {
  const { value } = parseJson(text, file);
  if (typeof value !== 'object' || value === null || !('recipe' in value))
    throw recipeError([{ path: '$', message: 'the text that this picture carries is not of linewash' }], file);
  const recipe = checkedRecipe(ofVersion(value.recipe, 'linewash' in value ? value.linewash : undefined), file);
  await plainRecipe(recipe, {}, file);
  return { recipe, settled: 'settled' in value ? value.settled : undefined };
};
