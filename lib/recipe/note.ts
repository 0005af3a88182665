import type { RECIPE_VERSION, Recipe } from './schema.ts';
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
  readonly recipe: Recipe;
  readonly settled: Settled;
  readonly inputs: readonly NoteInput[];
  /** Version of linewash that wrote the picture. */
  readonly writer: string;
}

/** JSON in pure ASCII: other characters as \uXXXX, so that every metadata field can hold it. */
export const noteText = (note: PictureNote): string =>
  // biome-ignore lint/suspicious/noControlCharactersInRegex: the range is exactly what ASCII leaves out
  JSON.stringify(note).replace(/[^\x00-\x7e]/g, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`);
