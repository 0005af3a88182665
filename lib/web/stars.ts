import { isColourPicture, openColourPlanes } from '../formats/colour-planes.ts';
import { openPlane } from '../formats/open.ts';
import { inputError } from '../plane/errors.ts';
import type { OpenLines } from '../work/open-lines.ts';
import { checkStars, type OpenStars, starsOf } from '../work/open-stars.ts';
import { blobSource } from './bytes/blob-source.ts';

/** A chosen file. */
export interface StarFile {
  readonly name: string;
  readonly blob: Blob;
}

/** Whether a file holds a picture in colour, which is no master. */
export const isColour = ({ name, blob }: StarFile): Promise<boolean> => isColourPicture(blobSource(name, blob));

/** An open picture of the stars: one colour picture, or three that stand for red, green and blue. */
export interface StarPicture extends OpenStars {
  readonly files: readonly StarFile[];
}

/** What the page is told about opened stars. */
export interface OpenedStars {
  readonly width: number;
  readonly height: number;
  /** What was odd about reading them, each a sentence without the file's name. */
  readonly warnings: readonly string[];
}

/**
 * Opens a picture of the stars: one colour picture, three that stand for red, green and blue, or one without colour.
 * @param lines what it is laid over
 * @throws LinewashError 'format' or 'input' naming the file, also where it has another size than the lines
 */
export const openStars = async (files: readonly StarFile[], lines: OpenLines): Promise<StarPicture> => {
  if (files.length !== 1 && files.length !== 3)
    throw inputError(`${files.length} files are given for the stars`, 'give one colour picture, or three masters');
  const bytes = files.map(({ name, blob }) => blobSource(name, blob));
  const sources =
    bytes.length === 1
      ? await openColourPlanes(bytes[0]!)
      : await Promise.all(bytes.map((b) => openPlane(b, { display: true })));
  const stars = starsOf(sources);
  const [first] = await lines.full(lines.names.slice(0, 1), 'undefined');
  if (first !== undefined) checkStars(first, stars);
  return { files, ...stars };
};
