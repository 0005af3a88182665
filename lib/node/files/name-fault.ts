import { lstat, stat } from 'node:fs/promises';
import { type LinewashError, outputError } from '../../plane/errors.ts';

/** Why a file cannot take a name, in words; undefined where it can. @param replace whether it may take the place of a file */
export const nameFault = async (path: string, replace = false): Promise<LinewashError | undefined> => {
  const entry = await lstat(path).catch(() => undefined);
  if (entry === undefined) return undefined;
  const facts = await stat(path).catch(() => undefined);
  if (facts?.isDirectory()) return outputError(path, 'is a folder', 'name a file');
  if (replace) return undefined;
  if (facts === undefined)
    return outputError(
      path,
      'is a link to a file that does not exist',
      'remove the link, choose another name, or replace it',
      { option: 'force' },
    );
  return outputError(path, 'exists already', 'choose another name, or replace the file', { option: 'force' });
};
