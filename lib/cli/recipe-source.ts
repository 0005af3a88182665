import { stat } from 'node:fs/promises';
import { openFile } from '../node/file-source.ts';
import { CATALOGUE, catalogueRecipe } from '../palettes/catalogue.ts';
import { inputError } from '../plane/errors.ts';
import { nearest } from '../plane/name.ts';
import { parseRecipe } from '../recipe/parse.ts';
import type { Recipe } from '../recipe/schema.ts';

const MAX_BYTES = 4 << 20;

/**
 * The recipe that a word on the command line means: a file, or the name of a catalogue recipe.
 * @throws LinewashError 'input' where it is neither, 'recipe' where the file is at fault.
 */
export const recipeFrom = async (word: string): Promise<Recipe> => {
  const exists = await stat(word).then(
    (facts) => facts.isFile(),
    () => false,
  );
  if (exists) return parseRecipe(await readText(word), word);
  const known = catalogueRecipe(word);
  if (known !== undefined) return known;
  const names = CATALOGUE.map(({ id }) => id);
  const near = nearest(word, names);
  throw inputError(
    `there is no recipe file and no catalogue recipe of this name`,
    `${near ? `did you mean ${near}? ` : ''}catalogue: ${names.join(', ')}`,
    word,
  );
};

/** @throws LinewashError 'input' where the file is not UTF-8 text of a recipe's size. */
const readText = async (path: string): Promise<string> => {
  const file = await openFile(path);
  try {
    if (file.size > MAX_BYTES) throw inputError('is too long for a recipe', 'name a recipe file', path);
    return new TextDecoder('utf-8', { fatal: true }).decode(await file.read(0, file.size));
  } catch (cause) {
    if (cause instanceof TypeError) throw inputError('is not text in UTF-8', 'save the recipe as UTF-8 JSON', path);
    throw cause;
  } finally {
    await file.close();
  }
};
