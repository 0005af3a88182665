import { isColourPicture, openColourPlanes } from '../formats/colour-planes.ts';
import { openPlane } from '../formats/open.ts';
import { inputError } from '../plane/errors.ts';
import { type OpenStars, starsOf } from '../work/open-stars.ts';
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
}

/**
 * Opens a picture of the stars: one colour picture, three that stand for red, green and blue, or one without colour.
 * @throws LinewashError 'format' or 'input' naming the file
 */
export const openStars = async (files: readonly StarFile[]): Promise<StarPicture> => {
  if (files.length !== 1 && files.length !== 3)
    throw inputError(`${files.length} files are given for the stars`, 'give one colour picture, or three masters');
  const bytes = files.map(({ name, blob }) => blobSource(name, blob));
  const sources =
    bytes.length === 1 ? await openColourPlanes(bytes[0]!) : await Promise.all(bytes.map((b) => openPlane(b)));
  return { files, ...starsOf(sources) };
};
