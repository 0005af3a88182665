import { stat } from 'node:fs/promises';
import { sep } from 'node:path';
import { splitSelector } from '../../formats/selector.ts';
import { inputError } from '../../plane/errors.ts';

const MAGIC = /[*?[{]/;

/**
 * The files that a pattern such as `night-1/H*.fits` names, by the order of their letters; a selector behind it goes to
 * each. What is the name of a file, or no pattern, stays as it is, as in shells.
 * @throws LinewashError 'input' where a pattern matches nothing.
 */
export const expandGlob = async (spelling: string): Promise<readonly string[]> => {
  if (!MAGIC.test(spelling) || (await isThere(spelling))) return [spelling];
  const { file } = splitSelector(spelling);
  if (!MAGIC.test(file) || (await isThere(file))) return [spelling];
  const found = await matching(sep === '\\' ? file.replaceAll('\\', '/') : file);
  if (found.length === 0)
    throw inputError('no file matches this pattern', 'check the pattern and the folder', spelling);
  return found.map((path) => path + spelling.slice(file.length));
};

/** Several words at once. */
export const expandGlobs = async (words: readonly string[]): Promise<string[]> =>
  (await Promise.all(words.map(expandGlob))).flat();

const isThere = (path: string): Promise<boolean> =>
  stat(path).then(
    () => true,
    () => false,
  );

/** Folders before the first special character are a plain path: what lies beside them is not searched. */
const matching = async (pattern: string): Promise<string[]> => {
  const { glob } = await import('tinyglobby');
  const plain = pattern.slice(0, pattern.search(MAGIC)).lastIndexOf('/') + 1;
  const [folder, rest] = [pattern.slice(0, plain), pattern.slice(plain)];
  const found = await glob([rest], { cwd: folder || '.', expandDirectories: false });
  return found.map((path) => folder + path).sort();
};
