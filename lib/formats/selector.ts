import { formatError } from '../plane/errors.ts';

/** Which picture of a file is meant. */
export interface Selector {
  /**
   * `[2]`: index of the FITS HDU or TIFF page, from 0. `[NAME]`: EXTNAME of a FITS extension. `[0.1]`: of the pictures
   * inside page 0 of a TIFF the second.
   */
  readonly part?: number | string;
  /** `#2`: plane of a cube or of an RGB picture; 0-based here, counted from 1 in the spelling. */
  readonly plane?: number;
  /** Whether the picture is only looked at or laid over: it may be one that is no master then, as a JPEG in a TIFF. */
  readonly display?: boolean;
}

/** Splits `file.fits[2]#1` into the file's own name and what is chosen in it. */
export const splitSelector = (spelling: string): { file: string; selector: Selector } => {
  const match = /^(?<file>.+?)(?:\[(?<part>[^\][]+)\])?(?:#(?<plane>\d+))?$/s.exec(spelling);
  const { file, part, plane } = match?.groups ?? {};
  if (file === undefined) return { file: spelling, selector: {} };
  if (plane !== undefined && Number(plane) < 1)
    throw formatError(spelling, 'planes are counted from 1', `write ${file}#1 for the first plane`);
  return {
    file,
    selector: {
      ...(part === undefined ? {} : { part: /^\d+$/.test(part) ? Number(part) : part }),
      ...(plane === undefined ? {} : { plane: Number(plane) - 1 }),
    },
  };
};
