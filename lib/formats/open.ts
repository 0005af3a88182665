import type { ByteSource } from '../plane/bytes.ts';
import { formatError } from '../plane/errors.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { SeekPoints } from './fits/bytes.ts';
import { openFits } from './fits/open.ts';
import type { Selector } from './selector.ts';
import { openTiff } from './tiff/open.ts';

const startsWith = (head: Uint8Array, ...bytes: number[]) => bytes.every((byte, i) => head[i] === byte);
const ascii = (text: string) => [...text].map((c) => c.charCodeAt(0));

/**
 * Opens one monochrome picture, whatever its format; the content decides, not the name.
 * @param seekPoints those of a source that was opened from the same file before
 * @throws LinewashError 'format' for anything that is not a readable FITS or TIFF picture.
 */
export const openPlane = async (
  source: ByteSource,
  selector: Selector = {},
  seekPoints?: PlaneSource['seekPoints'],
): Promise<PlaneSource> => {
  const { part, plane, display } = selector;
  const choice = { ...(plane === undefined ? {} : { plane }) };
  if (await isTiff(source)) {
    const page = part === undefined ? {} : { page: pagePath(source.name, part) };
    return openTiff(source, { ...choice, ...page, ...(display && { display }) });
  }
  const known = seekPoints as SeekPoints | undefined;
  return openFits(source, { ...choice, ...(part === undefined ? {} : { hdu: part }) }, known);
};

/**
 * Whether a file is TIFF by its first bytes; what is not may be FITS.
 * @throws LinewashError 'format' for known kinds of files that are neither
 */
export const isTiff = async (source: ByteSource): Promise<boolean> => {
  const head = new Uint8Array(await source.read(0, Math.min(8, source.size)));
  if (startsWith(head, 0x49, 0x49) || startsWith(head, 0x4d, 0x4d)) return true;
  refuseOthers(source.name, head);
  return false;
};

/** `[2]` is page 2 of a TIFF; `[2.0]` the first picture inside it. */
const pagePath = (file: string, part: number | string): readonly number[] => {
  if (/^\d+(\.\d+)*$/.test(`${part}`)) return `${part}`.split('.').map(Number);
  throw formatError(
    file,
    `pages of a TIFF have numbers, not names like ${part}`,
    'write file.tif[0] for the first, file.tif[0.0] for the first picture inside it',
  );
};

const refuseOthers = (file: string, head: Uint8Array): void => {
  const known: [string, boolean][] = [
    ['a PNG picture', startsWith(head, 0x89, ...ascii('PNG'))],
    ['a JPEG picture', startsWith(head, 0xff, 0xd8, 0xff)],
    ['a ZIP archive', startsWith(head, ...ascii('PK'), 3, 4)],
    ['a web page', startsWith(head, ...ascii('<'))],
  ];
  const found = known.find(([, is]) => is);
  if (found !== undefined)
    throw formatError(file, `this is ${found[0]}, not a FITS or TIFF master`, 'choose the linear master');
};
