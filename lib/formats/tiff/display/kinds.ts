import { type TiffDirectory, type TiffFile, tiffFault } from '../directory.ts';
import { TAG } from '../tags.ts';
import { readNumber } from '../values.ts';

/** Compressions that are read only to look at a picture, or as a picture of stars. */
export const DISPLAY: ReadonlySet<number> = new Set([7]);

/** Compressions that always round, and hold 8 bits as a rule. */
const LOSSY: Readonly<Record<number, string>> = { 6: 'an old-style JPEG picture', 7: 'a JPEG picture' };

const LINEAR = 'choose the linear master that it was made from';

/**
 * Whether the picture is one that is read for display alone.
 * @throws LinewashError 'format' where it is of a lossy kind, and a master is asked for or this kind is not read
 */
export const isDisplayData = async (file: TiffFile, directory: TiffDirectory, display: boolean): Promise<boolean> => {
  const compression = await readNumber(file, directory, TAG.Compression, 1);
  if (display && DISPLAY.has(compression)) return true;
  const kind = LOSSY[compression];
  if (kind === undefined) return false;
  throw display
    ? tiffFault(file, `it is ${kind}, which is not read`, 'save it as TIFF with LZW or deflate')
    : tiffFault(
        file,
        `it is ${kind}: its values are rounded and made for display, so it is no master`,
        DISPLAY.has(compression) ? `${LINEAR}; as a picture of the stars it is read` : LINEAR,
      );
};
