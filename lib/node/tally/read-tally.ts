import { stat } from 'node:fs/promises';
import { inputError } from '../../plane/errors.ts';
import { parseTally } from '../../tally/parse.ts';
import type { Tally } from '../../tally/tally.ts';
import { readWholeText } from '../files/read-text.ts';
import { reasonOf } from '../files/reason.ts';
import { tallyFiles } from '../tally-files.ts';

const MAX_BYTES = 1 << 26;

/** The targets of a tally, and notes about how they were counted. */
export type ReadTally = Pick<Tally, 'targets' | 'notes'>;

/**
 * Reads a tally from its JSON, or counts the sub-exposures of a folder.
 * @throws LinewashError 'input' where there is neither, 'recipe' for faults of the JSON
 */
export const readTally = async (path: string, signal?: AbortSignal): Promise<ReadTally> => {
  const facts = await stat(path).catch((cause) => {
    throw inputError(`cannot be opened: ${reasonOf(cause)}`, 'name a tally or a folder of sub-exposures', path);
  });
  if (facts.isDirectory()) return tallyFiles({ folders: [path], signal });
  const targets = parseTally(await readWholeText(path, MAX_BYTES, 'a tally in JSON'), path);
  return { targets, notes: [] };
};
