import type { ByteSource } from '../../../plane/bytes.ts';
import { LinewashError } from '../../../plane/errors.ts';
import { type Chunks, readChunks } from '../chunks.ts';
import { type TiffDirectory, type TiffFile, tiffFault } from '../directory.ts';
import { readImage, type TiffImage } from '../image.ts';
import type { StoredRows } from '../rows.ts';
import { TAG } from '../tags.ts';
import { readNumbers } from '../values.ts';
import { decodeJpeg } from './jpeg.ts';
import { checkTables, JpegFault, type JpegShape } from './jpeg-marks.ts';
import { type DecodeChunk, decodedRows } from './rows.ts';

/** A picture to look at, ready to be read. */
export interface DisplayPicture {
  /** As rows are given: pixels with all samples, red, green and blue. */
  readonly image: TiffImage;
  readonly stored: StoredRows;
  /** Rows that are decoded together. */
  readonly chunkRows: number;
  readonly warnings: readonly string[];
}

/** Most pixels of one strip or tile: it is decoded whole, and takes some 20 bytes a sample meanwhile. */
const MOST_PIXELS = 1 << 22;
/** Most stored bytes of one strip or tile. */
const MOST_STORED = 1 << 25;
/** JPEGTables hold four tables of at most a few hundred bytes each. */
const MOST_TABLES = 1 << 14;

const RESAVE = 'save it as TIFF with LZW or deflate';
const DAMAGED = 'the file is damaged or cut short: copy or export it again';

const checkImage = (file: TiffFile, { photometric, samplesPerPixel, type, planar }: TiffImage): void => {
  const colours = photometric < 2 ? 1 : 3;
  if (type !== 'u8') throw tiffFault(file, `it is a JPEG picture of ${type} samples; only u8 are read`, RESAVE);
  if (samplesPerPixel !== colours)
    throw tiffFault(file, `it is a JPEG picture of ${samplesPerPixel} samples where ${colours} are expected`, RESAVE);
  if (photometric === 6 && planar)
    throw tiffFault(file, 'it stores luminance and colour differences as planes of their own', RESAVE);
};

/** Numbers that a tag gives must be those that the conversion to red, green and blue takes for granted. */
const checkNumbers = async (file: TiffFile, directory: TiffDirectory, tag: number, what: string, usual: number[]) => {
  const entry = directory.get(tag);
  if (entry === undefined) return;
  const found = await readNumbers(file, entry, usual.length);
  if (usual.some((value, i) => !(Math.abs((found[i] ?? Number.NaN) - value) <= 0.005 * (1 + value))))
    throw tiffFault(file, `it states an unusual ${what} (${found.join(', ')})`, RESAVE);
};

const checkColours = async (file: TiffFile, directory: TiffDirectory, photometric: number): Promise<void> => {
  if (photometric !== 6) return;
  // ITU-R BT.601, full range: what T.871 prescribes, and TIFF 6.0 has as its default.
  await checkNumbers(file, directory, TAG.YCbCrCoefficients, 'mix of luminance', [0.299, 0.587, 0.114]);
  await checkNumbers(file, directory, TAG.ReferenceBlackWhite, 'range of colours', [0, 255, 128, 255, 128, 255]);
};

const readTables = async (file: TiffFile, directory: TiffDirectory): Promise<Uint8Array | undefined> => {
  const entry = directory.get(TAG.JpegTables);
  if (entry === undefined) return undefined;
  if (entry.count > MOST_TABLES) throw tiffFault(file, `its JPEG tables take ${entry.count} bytes`, DAMAGED);
  const tables = Uint8Array.from(await readNumbers(file, entry, MOST_TABLES));
  try {
    checkTables(tables);
  } catch (cause) {
    if (cause instanceof JpegFault) throw tiffFault(file, `its table of JPEG codes ${cause.message}`, DAMAGED);
    throw cause;
  }
  return tables;
};

const readPlanes = async (file: TiffFile, directory: TiffDirectory, image: TiffImage): Promise<Chunks[]> => {
  const planes: Chunks[] = [];
  for (let sample = 0; sample < (image.planar ? image.samplesPerPixel : 1); sample++)
    planes.push(await readChunks(file, directory, image, sample, []));
  const { width, height, tiled } = planes[0]!;
  const kind = tiled ? 'tiles' : 'strips';
  if (!(width * height <= MOST_PIXELS))
    throw tiffFault(file, `its ${kind} of ${width} × ${height} pixels are too large to be decoded`, RESAVE);
  for (const { counts } of planes) {
    if (counts.includes(0)) throw tiffFault(file, `some of its ${kind} are not stored`, RESAVE);
    if (counts.some((count) => count > MOST_STORED)) throw tiffFault(file, `its ${kind} take too many bytes`, RESAVE);
  }
  return planes;
};

const decoder = (file: TiffFile, image: TiffImage, planes: readonly Chunks[], tables: Uint8Array | undefined) => {
  const { photometric, planar, samplesPerPixel, height } = image;
  const decode: DecodeChunk = async (plane, chunk) => {
    const { tiled, offsets, counts, ...size } = planes[plane]!;
    const rows = tiled ? size.height : Math.min(size.height, height - chunk * size.height);
    const shape: JpegShape = {
      width: size.width,
      rows: [rows, size.height],
      components: planar ? 1 : samplesPerPixel,
      differences: photometric === 6,
    };
    const bytes = new Uint8Array(await file.source.read(offsets[chunk]!, counts[chunk]!));
    return decodeJpeg(bytes, tables, shape).catch((cause: unknown) => {
      if (cause instanceof LinewashError) throw cause;
      // Damaged data make the decoder fail in many ways.
      const words = cause instanceof JpegFault ? cause.message : `holds JPEG data that cannot be decoded (${cause})`;
      throw tiffFault(file, `${tiled ? 'tile' : 'strip'} ${chunk} ${words}`, DAMAGED);
    });
  };
  return decode;
};

const open = async (file: TiffFile, directory: TiffDirectory): Promise<DisplayPicture> => {
  const stored = await readImage(file, directory, true);
  checkImage(file, stored);
  await checkColours(file, directory, stored.photometric);
  const tables = await readTables(file, directory);
  const planes = await readPlanes(file, directory, stored);
  const image = { ...stored, planar: false, photometric: Math.min(2, stored.photometric) };
  const { height } = planes[0]!;
  return {
    image,
    stored: decodedRows(image, planes, decoder(file, stored, planes, tables)),
    chunkRows: height,
    warnings: ['it is a JPEG picture, made for display: its values are rounded, and no measure of light'],
  };
};

/** Pictures by file and directory: red, green and blue are opened by themselves and share what is decoded. */
const opened = new WeakMap<ByteSource, Map<string, Promise<DisplayPicture>>>();

/**
 * Opens a picture that is read for display alone (see `DISPLAY`). Strips and tiles are decoded whole, so they may have
 * four million pixels at most; beyond that memory does not grow with the picture.
 * @throws LinewashError 'format' where it is not read, before anything of its size is allocated; from `stored` where a strip is damaged
 */
export const openDisplay = (file: TiffFile, directory: TiffDirectory): Promise<DisplayPicture> => {
  const pictures = opened.get(file.source) ?? new Map<string, Promise<DisplayPicture>>();
  opened.set(file.source, pictures);
  // Where its values lie tells a directory from the others of the file.
  const key = [...directory.values()].map(({ tag, at }) => `${tag}/${at}`).join();
  const picture = pictures.get(key) ?? open(file, directory);
  pictures.set(key, picture);
  return picture;
};
