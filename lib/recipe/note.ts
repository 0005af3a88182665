import { recipeError } from '../plane/errors.ts';
import { parseJson } from './json.ts';
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

/** What every written picture carries: enough to open it as a recipe and to know what it was made from. */
export interface PictureNote {
  readonly linewash: typeof RECIPE_VERSION;
  /** As written, with the knobs as they were set. */
  readonly recipe: WrittenRecipe;
  readonly settled: Settled;
  readonly inputs: readonly NoteInput[];
  /** Version of linewash that wrote the picture. */
  readonly writer: string;
}

/** JSON in pure ASCII: other characters as \uXXXX, so that every metadata field can hold it. */
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
  const recipe = checkedRecipe(value.recipe, file);
  await plainRecipe(recipe, {}, file);
  return { recipe, settled: 'settled' in value ? value.settled : undefined };
};
