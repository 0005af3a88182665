import { formatError } from '../../plane/errors.ts';
import type { FitsBytes } from './bytes.ts';
import { type Hdu, MAX_HDUS, readHdus } from './hdu.ts';

/** Which picture of a file is meant. */
export interface FitsSelection {
  /** 0-based index (0 is the primary HDU) or EXTNAME, compared without regard to case. */
  readonly hdu?: number | string | undefined;
  /** 0-based plane of a cube. */
  readonly plane?: number | undefined;
}

/** The HDU and plane that a selection names. */
export interface Chosen {
  readonly hdu: Hdu;
  readonly primary: Hdu;
  readonly plane: number;
  /** The file's name with the selector as typed on the command line: `name[2]#1`. */
  readonly label: string;
  readonly warnings: readonly string[];
}

/** No sensor or mosaic in use comes near; beyond, a row would no longer fit the memory promised. */
const MAX_SIDE = 1_000_000;

/**
 * Finds the picture a selection names; without one the first HDU that holds pixels.
 * @throws LinewashError 'format' where there is none, or where it is a cube and no plane is named.
 */
export const choosePicture = async (bytes: FitsBytes, select: FitsSelection): Promise<Chosen> => {
  const seen: Hdu[] = [];
  for await (const hdu of readHdus(bytes)) {
    seen.push(hdu);
    if (select.hdu === undefined ? hasPixels(hdu) : isNamed(hdu, select.hdu))
      return { ...checkPicture(bytes.name, hdu, select), primary: seen[0]!, warnings: placeWarnings(hdu, select) };
  }
  throw select.hdu === undefined
    ? formatError(bytes.name, `no image with pixels: ${listHdus(seen)}`, 'choose a file that holds an image')
    : formatError(
        bytes.name,
        `there is no HDU ${describe(select.hdu)}: ${listHdus(seen)}`,
        adviseHdus(bytes.name, seen),
      );
};

const hasPixels = (hdu: Hdu): boolean =>
  (hdu.kind === 'image' || hdu.kind === 'tiles') && hdu.axes.length > 0 && !hdu.axes.includes(0);

const isNamed = (hdu: Hdu, wanted: number | string): boolean =>
  typeof wanted === 'number' ? hdu.index === wanted : hdu.name.toLowerCase() === wanted.trim().toLowerCase();

const describe = (wanted: number | string): string => (typeof wanted === 'number' ? `${wanted}` : `named "${wanted}"`);

const placeWarnings = (hdu: Hdu, select: FitsSelection): string[] => {
  if (select.hdu !== undefined || hdu.index === 0) return [];
  return [`the primary HDU holds no image; HDU ${hdu.index}${hdu.name && ` "${hdu.name}"`} is read`];
};

const checkPicture = (file: string, hdu: Hdu, select: FitsSelection): Pick<Chosen, 'hdu' | 'plane' | 'label'> => {
  const where = select.hdu === undefined ? '' : `[${select.hdu}]`;
  if (!hasPixels(hdu))
    throw formatError(file, `${describeHdu(hdu)}: it cannot be read as an image`, 'choose another HDU');
  const [width, height = 1, ...rest] = hdu.axes as [number, number];
  if (hdu.axes.length < 2)
    throw formatError(file, `${describeHdu(hdu)} has a single axis: a spectrum, not a picture`, 'choose another HDU');
  if (width > MAX_SIDE || height > MAX_SIDE)
    throw formatError(file, `the picture would be ${width} × ${height} pixels; at most ${MAX_SIDE} a side are read`);
  const planes = rest.reduce((product: number, length: number) => product * length, 1);
  const plane = select.plane ?? 0;
  if (select.plane === undefined && planes > 1)
    throw formatError(
      file,
      `a cube of ${planes} planes of ${width} × ${height} pixels; one plane is needed`,
      `name the plane: ${file}${where}#1 to ${file}${where}#${planes}`,
    );
  if (!(Number.isInteger(plane) && plane >= 0 && plane < planes))
    throw formatError(
      file,
      `there is no plane ${plane + 1}: the picture has ${planes}`,
      `planes count from 1 to ${planes}`,
    );
  return { hdu, plane, label: `${file}${where}${select.plane === undefined ? '' : `#${plane + 1}`}` };
};

const describeHdu = (hdu: Hdu): string => {
  const name = `HDU ${hdu.index}${hdu.name && ` "${hdu.name}"`}`;
  if (hdu.kind === 'table') return `${name} is a table`;
  if (hdu.kind === 'groups') return `${name} contains random groups`;
  if (hdu.kind === 'other') return `${name} is of an unknown kind`;
  if (hasPixels(hdu)) return `${name} is an image of ${hdu.axes.join(' × ')} pixels`;
  return hdu.axes.length === 0 ? `${name} has no data` : `${name} has no pixels (${hdu.axes.join(' × ')})`;
};

const listHdus = (hdus: readonly Hdu[]): string =>
  hdus.slice(0, 6).map(describeHdu).join(', ') +
  (hdus.length > 6 ? ` and ${hdus.length - 6} more` : '') +
  (hdus.length === MAX_HDUS ? `; only the first ${MAX_HDUS} HDUs of a file are searched` : '');

const adviseHdus = (file: string, hdus: readonly Hdu[]): string => {
  const images = hdus.filter(hasPixels).map((hdu) => `${file}[${hdu.index}]`);
  return images.length > 0 ? `images are ${images.slice(0, 6).join(', ')}` : 'choose a file that holds an image';
};
