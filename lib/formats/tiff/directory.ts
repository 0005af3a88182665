import type { ByteSource } from '../../plane/bytes.ts';
import { formatError, type LinewashError } from '../../plane/errors.ts';
import { FIELD_BYTES } from './tags.ts';

/** An open TIFF file: where its bytes are and how its numbers are written. */
export interface TiffFile {
  readonly source: ByteSource;
  readonly littleEndian: boolean;
  /** True for BigTIFF: 64-bit offsets and counts. */
  readonly big: boolean;
}

/** One field of a directory; its values stay in the file until they are asked for. */
export interface TiffEntry {
  readonly tag: number;
  readonly type: number;
  readonly count: number;
  /** Where the first value lies in the file. */
  readonly at: number;
}

/** One image file directory. Where a tag occurs twice the first counts, as in libtiff. */
export type TiffDirectory = ReadonlyMap<number, TiffEntry>;

/** A directory as it lies in the file. */
export interface TiffPage {
  readonly directory: TiffDirectory;
  /** Tags that occur in it more than once. */
  readonly repeated: ReadonlySet<number>;
  /** How many fields it lists. */
  readonly listed: number;
}

// Far beyond any real file; they bound the work that a hostile one can ask for.
const MOST_DIRECTORIES = 4096;
/** Fields of all directories that are looked at. */
export const MOST_FIELDS = 200_000;

export const tiffFault = (file: { readonly source: ByteSource }, message: string, advice?: string): LinewashError =>
  formatError(file.source.name, message, advice);

const DAMAGED = 'the file is damaged: export it again, or save it as uncompressed TIFF or FITS';

/** A number of 8 bytes; values beyond 2⁵³ come out as larger than any file, and are refused where they are used. */
export const uint64 = (view: DataView, at: number, littleEndian: boolean): number =>
  view.getUint32(at + (littleEndian ? 4 : 0), littleEndian) * 2 ** 32 +
  view.getUint32(at + (littleEndian ? 0 : 4), littleEndian);

/** A view over bytes of the file; refused before anything is allocated where the range leaves the file. */
export const viewOf = async (file: TiffFile, at: number, length: number, what: string): Promise<DataView> => {
  if (!(at + length <= file.source.size))
    throw tiffFault(file, `${what} lies beyond the end of the file`, 'copy or export the file again');
  const bytes = await file.source.read(at, length);
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
};

const openHeader = async (source: ByteSource): Promise<{ file: TiffFile; first: number }> => {
  if (source.size === 0) throw tiffFault({ source }, 'the file is empty');
  const notTiff = () => tiffFault({ source }, 'this is not a TIFF file', 'choose a FITS or TIFF file');
  if (source.size < 8) throw notTiff();
  const head = await source.read(0, Math.min(16, source.size));
  const order = String.fromCharCode(head[0]!, head[1]!);
  if (order !== 'II' && order !== 'MM') throw notTiff();
  const littleEndian = order === 'II';
  const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
  const version = view.getUint16(2, littleEndian);
  if (version === 42) return { file: { source, littleEndian, big: false }, first: view.getUint32(4, littleEndian) };
  if (version !== 43 || head.length < 16) throw notTiff();
  if (view.getUint16(4, littleEndian) !== 8) throw tiffFault({ source }, 'BigTIFF with offsets that are not 8 bytes');
  return { file: { source, littleEndian, big: true }, first: uint64(view, 8, littleEndian) };
};

interface PageAt extends TiffPage {
  /** Where the next directory lies, 0 for none. */
  readonly next: number;
}

/**
 * The directory at a place in the file.
 * @throws LinewashError 'format' where it leaves the file or lists no fields, or more than 65,535.
 */
export const readPage = async (file: TiffFile, at: number): Promise<PageAt> => {
  const { littleEndian, big } = file;
  const countBytes = big ? 8 : 2;
  const entryBytes = big ? 20 : 12;
  const pointerBytes = big ? 8 : 4;
  const head = await viewOf(file, at, countBytes, 'a directory');
  const listed = big ? uint64(head, 0, littleEndian) : head.getUint16(0, littleEndian);
  if (listed === 0 || listed > 65535) throw tiffFault(file, `a directory of ${listed} fields`, DAMAGED);
  const start = at + countBytes;
  const view = await viewOf(file, start, listed * entryBytes + pointerBytes, 'a directory');
  const wide = (place: number) => (big ? uint64(view, place, littleEndian) : view.getUint32(place, littleEndian));
  const directory = new Map<number, TiffEntry>();
  const repeated = new Set<number>();
  for (let i = 0; i < listed; i++) {
    const place = i * entryBytes;
    const tag = view.getUint16(place, littleEndian);
    const type = view.getUint16(place + 2, littleEndian);
    const count = wide(place + 4);
    const field = place + 4 + pointerBytes;
    const inline = (FIELD_BYTES[type] ?? 0) * count <= pointerBytes;
    if (directory.has(tag)) repeated.add(tag);
    else directory.set(tag, { tag, type, count, at: inline ? start + field : wide(field) });
  }
  return { directory, repeated, next: wide(listed * entryBytes), listed };
};

/**
 * Opens a TIFF or BigTIFF of either byte order and lists its directories in file order.
 * @throws LinewashError 'format' where the file is no TIFF, or its chain of directories leaves the file, comes back on
 * itself, or has more than 4096 members or 200,000 fields.
 */
export const readDirectories = async (source: ByteSource): Promise<{ file: TiffFile; pages: readonly TiffPage[] }> => {
  const { file, first } = await openHeader(source);
  const pages: TiffPage[] = [];
  const seen = new Set<number>();
  let fields = 0;
  for (let at = first; at !== 0; ) {
    if (seen.has(at)) throw tiffFault(file, 'its chain of directories comes back on itself', DAMAGED);
    if (pages.length === MOST_DIRECTORIES || fields > MOST_FIELDS)
      throw tiffFault(file, 'it has more directories or fields than any picture needs', DAMAGED);
    seen.add(at);
    const page = await readPage(file, at);
    pages.push(page);
    fields += page.listed;
    at = page.next;
  }
  if (pages.length === 0) throw tiffFault(file, 'it holds no picture', DAMAGED);
  return { file, pages };
};
