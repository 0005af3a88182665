import type { ByteSource } from '../../plane/bytes.ts';
import type { PlaneSource, RawRows, Samples } from '../../plane/plane.ts';
import { type Chunks, readChunks } from './chunks.ts';
import { readDirectories, type TiffDirectory, type TiffFile } from './directory.ts';
import { isDisplayData } from './display/kinds.ts';
import { readFacts } from './facts.ts';
import { arePlanesReversed } from './float-planes.ts';
import { chooseSample, pixelBytes, readImage, type TiffImage } from './image.ts';
import { choosePage } from './pages.ts';
import { areContiguous, readStoredRows, type StoredRows } from './rows.ts';
import { type SampleForm, sampleBytes, toPhysical } from './samples.ts';
import { readType, STORED_BYTES, STORED_RANGE, type StoredType } from './stored-type.ts';

/** Which picture of a file is meant, and which of its planes. */
export interface TiffSelect {
  /**
   * Directory number from 0, every directory counted; further numbers go into the directories inside it, as in `[0, 1]`.
   * Absent: the first full page.
   */
  readonly page?: number | readonly number[];
  /** Sample of the pixel from 0 (spelled `#1` for the first); absent: the only one. */
  readonly plane?: number;
  /** Whether pictures that are no masters are read too, to be looked at: JPEG, see `openDisplay`. */
  readonly display?: boolean;
}

/** Rows are decoded in blocks of about this many bytes. */
const BLOCK = 1 << 19;

const MIRRORED: ReadonlySet<number> = new Set([2, 3]);
const UPSIDE_DOWN: ReadonlySet<number> = new Set([3, 4]);

/** Types that a kernel reads by itself; the others are left to `readRows`. */
const RAW_TYPES: ReadonlySet<StoredType> = new Set<StoredType>(['u8', 'i8', 'u16', 'i16', 'u32', 'i32', 'f32', 'f64']);

const rawRows = (file: TiffFile, image: TiffImage, chunks: Chunks, form: SampleForm): RawRows | undefined => {
  const integer = STORED_RANGE[image.type] !== undefined;
  const plain = image.compression === 1 && form.stride === 1 && areContiguous(chunks) && RAW_TYPES.has(image.type);
  if (!plain || MIRRORED.has(image.orientation) || (form.noData !== undefined && !integer)) return undefined;
  return {
    offset: chunks.offsets[0]!,
    rowBytes: chunks.rowBytes,
    type: readType(image.type),
    bigEndian: !file.littleEndian,
    zero: form.white ?? 0,
    scale: form.white === undefined ? 1 : -1,
    blank: form.noData,
    bottomUp: image.orientation === 4,
  };
};

/** Runs jobs one after the other, whether or not the one before failed. */
const inTurn = () => {
  let last: Promise<unknown> = Promise.resolve();
  return <T>(job: () => Promise<T>): Promise<T> => {
    const run = last.then(job);
    last = run.catch(() => {});
    return run;
  };
};

/** Reads rows of the upright picture: blocks of stored rows, decoded, turned as Orientation asks. */
const uprightRows = (image: TiffImage, form: SampleForm, stored: StoredRows) => {
  const { width, height, orientation } = image;
  const rowBytes = width * pixelBytes(image);
  const blockRows = Math.max(1, Math.floor(BLOCK / rowBytes));
  const upsideDown = UPSIDE_DOWN.has(orientation);
  let block = new Uint8Array(0);
  return async (y: number, rows: number, into: Samples): Promise<void> => {
    const from = upsideDown ? height - y - rows : y;
    for (let done = 0; done < rows; done += blockRows) {
      const count = Math.min(blockRows, rows - done);
      if (block.length < count * rowBytes) block = new Uint8Array(count * rowBytes);
      const bytes = block.subarray(0, count * rowBytes);
      await stored(from + done, count, bytes);
      if (!upsideDown) toPhysical(bytes, form, into, done * width);
      else
        for (let i = 0; i < count; i++)
          toPhysical(bytes.subarray(i * rowBytes, (i + 1) * rowBytes), form, into, (rows - 1 - done - i) * width);
    }
    if (MIRRORED.has(orientation)) for (let i = 0; i < rows; i++) into.subarray(i * width, (i + 1) * width).reverse();
  };
};

/** What one plane is read from. */
interface Stored {
  readonly image: TiffImage;
  readonly sample: number;
  readonly rows: StoredRows;
  readonly raw: (form: SampleForm) => RawRows | undefined;
  /** See `PlaneSource`. */
  readonly rowsTogether: number | undefined;
}

const openMaster = async (
  file: TiffFile,
  directory: TiffDirectory,
  plane: number | undefined,
  warnings: string[],
): Promise<Stored> => {
  const image = await readImage(file, directory);
  warnings.push(...image.warnings);
  const sample = chooseSample(file, image, plane, warnings);
  const chunks = await readChunks(file, directory, image, sample, warnings);
  const apart = chunks.height < image.height ? chunks.height : Number.POSITIVE_INFINITY;
  return {
    image,
    sample,
    rows: await storedRows(file, image, chunks),
    raw: (form) => rawRows(file, image, chunks, form),
    rowsTogether: image.compression === 1 ? undefined : apart,
  };
};

const openShown = async (
  file: TiffFile,
  directory: TiffDirectory,
  plane: number | undefined,
  warnings: string[],
): Promise<Stored> => {
  const {
    image,
    stored,
    chunkRows,
    warnings: said,
  } = await (await import('./display/open.ts')).openDisplay(file, directory);
  warnings.push(...image.warnings, ...said);
  const sample = chooseSample(file, image, plane, warnings);
  return { image, sample, rows: stored, raw: () => undefined, rowsTogether: chunkRows };
};

/** Stored rows, for big-endian float planes after a look at which way round they lie. */
const storedRows = async (file: TiffFile, image: TiffImage, chunks: Chunks): Promise<StoredRows> => {
  const unstored = sampleBytes(image.type, image.noData);
  const ambiguous = image.predictor === 3 && !file.littleEndian;
  const reversed = ambiguous && (await arePlanesReversed(file, image, readStoredRows(file, image, chunks)));
  return readStoredRows(file, image, chunks, { order: reversed ? 'reversed' : 'as-noted', unstored });
};

const spelling = (name: string, select: TiffSelect): string =>
  `${name}${select.page === undefined ? '' : `[${[select.page].flat().join('.')}]`}${select.plane === undefined ? '' : `#${select.plane + 1}`}`;

/**
 * Opens one monochrome plane of a TIFF or BigTIFF file.
 * Read are strips and tiles of 8-, 16-, 32- and 64-bit integers and of 16-, 32- and 64-bit floats, of
 * either byte order, uncompressed or with PackBits, LZW or deflate, with predictors 2 and 3 (big-endian 3 where its numbers
 * tell which of two ways it was written in). Zero-is-white is inverted,
 * Orientation 1 to 4 is honoured, the no-data value of tag 42113 becomes NaN. Of several pages the first full one is
 * taken, with a warning; of grey with one extra sample the grey.
 * With `display`, JPEG is read as well.
 * Memory is bounded by a megabyte or two, plus a band of streams for compressed tiles, whatever the size of the file.
 * @throws LinewashError 'format' for whatever would not be read rightly, with the reason; where a compressed strip turns
 * out to be damaged, from `readRows`.
 */
export const openTiff = async (source: ByteSource, select: TiffSelect = {}): Promise<PlaneSource> => {
  const { file, pages } = await readDirectories(source);
  const page = await choosePage(file, pages, select.page);
  const warnings = [...page.warnings];
  const shown = await isDisplayData(file, page.directory, select.display === true);
  const { image, sample, rows, raw, rowsTogether } = await (shown ? openShown : openMaster)(
    file,
    page.directory,
    select.plane,
    warnings,
  );
  const form: SampleForm = {
    type: image.type,
    stride: pixelBytes(image) / STORED_BYTES[image.type],
    first: image.planar ? 0 : sample,
    noData: image.noData,
    white: image.photometric === 0 ? STORED_RANGE[image.type]?.[1] : undefined,
  };
  const { width, height } = image;
  const read = uprightRows(image, form, rows);
  const turn = inTurn();
  return {
    file: spelling(source.name, select),
    width,
    height,
    type: readType(image.type),
    fullScale: STORED_RANGE[image.type]?.[1],
    facts: await readFacts(file, page.directory),
    warnings,
    others: page.others,
    raw: raw(form),
    rowsTogether,
    readRows: (y, rows, into) => {
      if (!(y >= 0 && rows >= 0 && y + rows <= height)) throw new RangeError(`rows ${y} to ${y + rows} of ${height}`);
      if (into.length < rows * width) throw new RangeError('too little room for the rows');
      return turn(() => read(y, rows, into));
    },
  };
};
