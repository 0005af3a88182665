import { openSync } from 'node:fs';
import { inputError, outputError } from '../../plane/errors.ts';
import { reasonOf } from './reason.ts';

/**
 * Opens a file that is known to have been there; blocks the thread.
 * @throws LinewashError 'input' where it cannot be opened any more
 */
export const openToRead = (path: string, name = path): number => {
  try {
    return openSync(path, 'r');
  } catch (cause) {
    throw inputError(`cannot be opened: ${reasonOf(cause)}`, 'check the name and the folder', name);
  }
};

/**
 * Opens a file that was begun to be written; blocks the thread.
 * @param name the picture as the user named it
 * @throws LinewashError 'output' where it cannot be opened any more
 */
export const openToWrite = (path: string, name: string): number => {
  try {
    return openSync(path, 'r+');
  } catch (cause) {
    throw outputError(
      name,
      `cannot be written: ${reasonOf(cause)}`,
      'check the folder, its permissions and the free space',
    );
  }
};
