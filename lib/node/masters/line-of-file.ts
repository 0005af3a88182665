import { basename } from 'node:path';
import { openPlane } from '../../formats/open.ts';
import { lineOf } from '../../measure/filters.ts';
import { LinewashError } from '../../plane/errors.ts';
import type { HeaderFacts } from '../../plane/facts.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { openFile } from '../files/file-source.ts';
import { chooseFile } from '../files/spelling.ts';

/** The line that a master is of, and what says so. */
export interface FoundLine {
  readonly line: string;
  /** Words for people: `its header: FILTER = S II`, or `its name`. */
  readonly by: string;
}

/** What the header of a master says, and its size in pixels. */
export type MasterHead = Pick<PlaneSource, 'facts' | 'width' | 'height'>;

const headOf = async (spelling: string): Promise<MasterHead> => {
  const { path, selector } = await chooseFile(spelling);
  const file = await openFile(path, spelling);
  try {
    const { facts, width, height } = await openPlane(file, selector);
    return { facts, width, height };
  } finally {
    await file.close();
  }
};

/**
 * What the header of a master says.
 * @param spelling a path, with a selector where the file holds several pictures
 * @throws LinewashError where it is no readable master.
 */
export const factsOf = async (spelling: string): Promise<HeaderFacts> => (await headOf(spelling)).facts;

/** Header and size, or undefined for a file that is no readable master. */
export const sourceIfMaster = (spelling: string): Promise<MasterHead | undefined> =>
  headOf(spelling).catch((cause) => {
    if (cause instanceof LinewashError) return undefined;
    throw cause;
  });

/** The header alone, or undefined for a file that is no readable master. */
export const factsIfMaster = async (spelling: string): Promise<HeaderFacts | undefined> =>
  (await sourceIfMaster(spelling))?.facts;

/** The line that a header, else a file's name, speaks of; undefined where neither does. */
export const lineBy = (facts: HeaderFacts, path: string): FoundLine | undefined => {
  const found = lineOf(facts.filter, basename(path));
  if (found === undefined) return undefined;
  const { line, from } = found;
  return { line, by: from === 'name' ? 'its name' : `its header: ${facts.from.filter} = ${facts.filter}` };
};
