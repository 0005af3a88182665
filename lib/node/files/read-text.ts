import { inputError } from '../../plane/errors.ts';
import { openFile } from './file-source.ts';

/**
 * A whole file as text.
 * @param what it should be: `a plan`
 * @throws LinewashError 'input' where it cannot be read, is longer than `most` bytes or no UTF-8
 */
export const readWholeText = async (path: string, most: number, what: string): Promise<string> => {
  const file = await openFile(path);
  try {
    if (file.size > most) throw inputError(`is too long for ${what}`, `name ${what}`, path);
    return new TextDecoder('utf-8', { fatal: true }).decode(await file.read(0, file.size));
  } catch (cause) {
    if (cause instanceof TypeError) throw inputError('is not text in UTF-8', 'save it as UTF-8 JSON', path);
    throw cause;
  } finally {
    await file.close();
  }
};
