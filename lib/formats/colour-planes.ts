import type { ByteSource } from '../plane/bytes.ts';
import { LinewashError } from '../plane/errors.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { openPlane } from './open.ts';
import type { Selector } from './selector.ts';

/**
 * Opens red, green and blue of one picture: its first three planes; of a picture without colour, the same source thrice.
 * Pictures that are no masters, as JPEG in a TIFF, are read here.
 * @param openChosen opens a picture of the file; by its bytes alone where absent
 * @throws LinewashError 'format' for what is no picture.
 */
export const openColourPlanes = async (
  bytes: ByteSource,
  selector: Selector = {},
  planes?: readonly number[],
  openChosen: (selector: Selector) => Promise<PlaneSource> = (chosen) => openPlane(bytes, chosen),
): Promise<PlaneSource[]> => {
  const shown = { ...selector, display: true };
  const open = (plane: number) => openChosen({ ...shown, plane });
  if (planes === undefined && (selector.plane !== undefined || !(await hasColour(open)))) {
    const grey = await openChosen(shown).catch(async (cause) => {
      // What is wrong with every plane is the reason, not that none was named.
      if (selector.plane === undefined) await open(0);
      throw cause;
    });
    return [grey, grey, grey];
  }
  const sources: PlaneSource[] = [];
  for (const plane of planes ?? [0, 1, 2]) sources.push(await open(plane));
  return sources;
};

/** Whether a picture has colour: a third plane. False for what is no picture. */
export const isColourPicture = (bytes: ByteSource): Promise<boolean> =>
  hasColour((plane) => openPlane(bytes, { plane, display: true }));

const hasColour = async (open: (plane: number) => Promise<PlaneSource>): Promise<boolean> => {
  try {
    await open(2);
    return true;
  } catch (cause) {
    if (cause instanceof LinewashError) return false;
    throw cause;
  }
};
