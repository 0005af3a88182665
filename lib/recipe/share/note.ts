import { skyKeywords } from '../../formats/fits/sky.ts';
import { type LinewashError, recipeError } from '../../plane/errors.ts';
import type { OutputSample } from '../../plane/picture.ts';
import type { PictureFacts } from '../../plane/picture-facts.ts';
import type { Settled } from '../settle/settled.ts';
import { parseJson } from '../written/json.ts';
import { ofVersion } from '../written/migrate.ts';
import { checkedRecipe } from '../written/parse.ts';
import { plainRecipe } from '../written/plain.ts';
import type { RECIPE_VERSION, WrittenRecipe } from '../written/schema.ts';
import { sha256 } from '../written/sha256.ts';

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
  /** With a strip below that says what the colours mean. */
  readonly legend?: true;
  /** No picture that was taken: noise was scaled to what hours to come would leave. */
  readonly estimate?: NoteEstimate;
}

/** The hours to come that a picture pretends to have. */
export interface NoteEstimate {
  readonly what: string;
  /** On the clock. */
  readonly after: number;
  /** By line. */
  readonly added: Readonly<Record<string, number>>;
}

interface PictureWish {
  readonly sample: OutputSample;
  /** The sample type that the format has unless another is asked for. */
  readonly usual: OutputSample;
  readonly alpha?: boolean | undefined;
  readonly crop?: boolean | undefined;
  readonly size?: number | undefined;
  readonly legend?: boolean | undefined;
  readonly estimate?: NoteEstimate | undefined;
}

/** The part of a note that says how the picture was asked to be written; nothing for a plain full-size picture. */
export const notePicture = ({
  sample,
  usual,
  alpha,
  crop,
  size,
  legend,
  estimate,
}: PictureWish): { picture?: NotePicture } => {
  const picture: NotePicture = {
    ...(sample !== usual && { sample }),
    ...(alpha && { alpha }),
    ...(crop && { crop }),
    ...(size !== undefined && { size }),
    ...(legend && { legend }),
    ...(estimate && { estimate }),
  };
  return Object.keys(picture).length > 0 ? { picture } : {};
};

/** What the headers of the masters say of a picture. Exposures in hours by line; `sky` has the keywords of FITS. */
export interface NoteFacts {
  readonly object?: string;
  readonly dateStart?: string;
  readonly dateEnd?: string;
  readonly hours?: Readonly<Record<string, number>>;
  readonly sky?: Readonly<Record<string, string | number>>;
}

/** Nothing for masters whose headers say nothing. */
export const noteFacts = ({ exposures, sky, ...facts }: PictureFacts): { facts?: NoteFacts } => {
  const hours = Object.fromEntries(exposures.map(({ line, hours }) => [line, hours]));
  const said = { ...facts, ...(exposures.length > 0 && { hours }), ...(sky && { sky: skyKeywords(sky) }) };
  return Object.keys(said).length > 0 ? { facts: said } : {};
};

/** What every written picture carries: enough to open it as a recipe and to know what it was made from. */
export interface PictureNote {
  readonly linewash: typeof RECIPE_VERSION;
  /** As written, with the knobs as they were set. */
  readonly recipe: WrittenRecipe;
  readonly settled: Settled;
  readonly inputs: readonly NoteInput[];
  readonly picture?: NotePicture;
  readonly facts?: NoteFacts;
  /** Version of linewash that wrote the picture. */
  readonly writer: string;
}

/** What a note must match: the SHA-256 of its other members as JSON without blanks, in the order in which they stand. */
const hashOf = (members: object): string => sha256(new TextEncoder().encode(JSON.stringify(members)));

/**
 * JSON in pure ASCII: other characters as \u and four digits, so that every metadata field can hold it. Its last member,
 * `sha256`, is the hash of all others.
 */
export const noteText = (note: PictureNote): string => ascii(JSON.stringify({ ...note, sha256: hashOf(note) }));

const ascii = (text: string): string =>
  // biome-ignore lint/suspicious/noControlCharactersInRegex: the range is exactly what ASCII leaves out
  text.replace(/[^\x00-\x7e]/g, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`);

/** The members of notes without a hash: those that were written before notes had one, and those of sheets. */
const UNGUARDED: readonly string[] = ['linewash', 'recipe', 'settled', 'inputs', 'picture', 'writer', 'sheet'];

const refused = (message: string, file: string | undefined): LinewashError =>
  recipeError([{ path: '$', message }], file, 'use another copy of the picture, or make it again');

const foreign = (file: string | undefined): LinewashError =>
  recipeError([{ path: '$', message: 'the text in this picture is not from linewash' }], file);

const changed = (why: string) => `the recipe in this picture was damaged or changed by hand: ${why}`;

/**
 * The members of a picture's note, which are what linewash wrote: a note must match its hash. Those of earlier versions
 * have none; their members are believed.
 * @throws LinewashError 'recipe' where the text is no note, or not as it was written.
 */
export const readNote = (text: string, file?: string): Readonly<Record<string, unknown>> => {
  let value: unknown;
  try {
    value = parseJson(text, file).value;
  } catch (cause) {
    if (/^\s*\{\s*"linewash"/.test(text)) throw refused(changed((cause as LinewashError).message), file);
    throw cause;
  }
  if (typeof value !== 'object' || value === null) throw foreign(file);
  const { sha256: hash, ...members } = value as Record<string, unknown>;
  // A text of another program has members of its own.
  if (!('linewash' in members) && !('recipe' in members)) return members;
  const known = Object.keys(members).every((key) => UNGUARDED.includes(key));
  if (hash === undefined && !known) throw refused(changed('its hash is missing'), file);
  if (hash !== undefined && hash !== hashOf(members)) throw refused(changed('it does not match its hash'), file);
  return members;
};

/**
 * Reads the note of a picture. Only the recipe in it is checked further: `settled` is what linewash wrote.
 * @throws LinewashError 'recipe' as `readNote` does, or where the recipe is at fault.
 */
export const parseNote = async (text: string, file?: string): Promise<{ recipe: WrittenRecipe; settled: unknown }> => {
  const value = readNote(text, file);
  if (!('recipe' in value)) throw foreign(file);
  const recipe = checkedRecipe(ofVersion(value.recipe, value.linewash), file);
  await plainRecipe(recipe, {}, file);
  return { recipe, settled: value.settled };
};
