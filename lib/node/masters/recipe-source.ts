import { stat } from 'node:fs/promises';
import { CATALOGUE, catalogueRecipe } from '../../palettes/catalogue.ts';
import { inputError } from '../../plane/errors.ts';
import { nearest } from '../../plane/name.ts';
import { isLink, recipeFromLink } from '../../recipe/share/link.ts';
import { openRecipe } from '../../recipe/written/open.ts';
import { loadRecipe } from '../../recipe/written/parse.ts';
import type { WrittenRecipe } from '../../recipe/written/schema.ts';
import { openFile } from '../files/file-source.ts';

/**
 * The recipe that a word on the command line means: a file, a picture that carries one, a share link, the name of a
 * catalogue recipe, or the recipe itself as JSON.
 * @throws LinewashError 'input' where it is none of these, 'recipe' where the recipe is at fault.
 */
export const recipeFrom = async (word: string): Promise<WrittenRecipe> => {
  const exists = await stat(word).then(
    (facts) => facts.isFile(),
    () => false,
  );
  if (exists) return readFile(word);
  if (word.trimStart().startsWith('{')) return loadRecipe(word);
  if (isLink(word)) return recipeFromLink(word);
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

const readFile = async (path: string): Promise<WrittenRecipe> => {
  const file = await openFile(path);
  try {
    return await openRecipe(file);
  } finally {
    await file.close();
  }
};
