import { stat } from 'node:fs/promises';
import { type Selector, splitSelector } from '../../formats/selector.ts';
import { formatError } from '../../plane/errors.ts';
import { expandGlobs } from './glob.ts';

/** A file and which picture of it is meant. */
export interface FileChoice {
  /** As the user wrote it. */
  readonly spelling: string;
  readonly path: string;
  readonly selector: Selector;
}

/** Whether there is a file of this name. */
export const exists = (path: string): Promise<boolean> =>
  stat(path).then(
    (facts) => facts.isFile(),
    () => false,
  );

/**
 * A file whose own name looks like a selector is taken as it is.
 * @throws LinewashError 'format' where more than one part or plane is chosen.
 */
export const chooseFile = async (spelling: string): Promise<FileChoice> => {
  const { file, selector } = splitSelector(spelling);
  const own = file === spelling || (await exists(spelling));
  const { file: shorter } = splitSelector(file);
  if (!own && shorter !== file && !(await exists(file)))
    throw formatError(
      spelling,
      'it names more than one part, or a plane before the part',
      `write ${shorter}[0] for the first part, ${shorter}[0.0] for the first picture inside it, ${shorter}[0]#1 for its first plane`,
    );
  return own ? { spelling, path: spelling, selector: {} } : { spelling, path: file, selector };
};

/**
 * Reads `a.fits,b.fits[2]` as several files. A comma that belongs to the name of an existing file does not separate:
 * the longest existing name wins. A pattern such as `night-*.fits` stands for the files that it matches.
 */
export const splitFiles = async (spelling: string): Promise<FileChoice[]> => {
  const pieces = spelling.split(',');
  const files: string[] = [];
  for (let from = 0; from < pieces.length; ) {
    let to = pieces.length;
    let choice = await chooseFile(pieces.slice(from, to).join(','));
    while (to > from + 1 && !(await exists(choice.path))) {
      to--;
      choice = await chooseFile(pieces.slice(from, to).join(','));
    }
    files.push(choice.spelling);
    from = to;
  }
  return Promise.all((await expandGlobs(files)).map(chooseFile));
};
