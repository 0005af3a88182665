import { COMPRESSIONS } from './compression.ts';
import { type TiffDirectory, type TiffEntry, type TiffFile, tiffFault } from './directory.ts';
import { DISPLAY } from './display/kinds.ts';
import { pixelBytes, type TiffImage } from './image.ts';
import { FIELD_BYTES, TAG } from './tags.ts';
import { readNumber, readNumbers } from './values.ts';

/** Where the strips or tiles of one plane lie: all checked to lie within the file and to be able to hold their pixels. */
export interface Chunks {
  readonly tiled: boolean;
  /** Size of each in pixels; a last strip may hold fewer rows. */
  readonly width: number;
  readonly height: number;
  /** Tiles side by side; 1 for strips. */
  readonly across: number;
  /** Bytes of one decoded row of a strip or tile. */
  readonly rowBytes: number;
  /** First byte and number of stored bytes of each, row by row; both 0 for one that is not stored. */
  readonly offsets: Float64Array;
  readonly counts: Float64Array;
}

// 16 MiB hold a row of four million float pixels; such rows and tiles are decoded whole.
const MOST_ROW_BYTES = 1 << 24;
const MOST_TILE_BYTES = 1 << 24;
const MOST_CHUNKS = 1 << 20;
/** What is not stored may be so many times the size of the file: as much as deflate could make of it. */
const MOST_UNSTORED = COMPRESSIONS[8]!.ratio;

const BROKEN = 'copy or export the file again';

const chunkSize = async (file: TiffFile, directory: TiffDirectory, image: TiffImage) => {
  const tiled = directory.has(TAG.TileWidth) || directory.has(TAG.TileOffsets);
  if (!tiled) {
    const rows = await readNumber(file, directory, TAG.RowsPerStrip, image.height);
    return { tiled, width: image.width, height: Math.min(image.height, rows) };
  }
  const width = await readNumber(file, directory, TAG.TileWidth, 0);
  const height = await readNumber(file, directory, TAG.TileLength, 0);
  return { tiled, width, height };
};

type Grid = Omit<Chunks, 'offsets' | 'counts'> & { readonly total: number };

const gridOf = async (file: TiffFile, directory: TiffDirectory, image: TiffImage): Promise<Grid> => {
  const size = await chunkSize(file, directory, image);
  const kind = size.tiled ? 'tiles' : 'strips';
  if (!(size.width >= 1 && size.height >= 1))
    throw tiffFault(file, `its ${kind} have no size (${size.width} × ${size.height})`, BROKEN);
  const rowBytes = size.width * pixelBytes(image);
  if (rowBytes > MOST_ROW_BYTES || (size.tiled && rowBytes * size.height > MOST_TILE_BYTES))
    throw tiffFault(file, `its ${kind} of ${size.width} × ${size.height} pixels are too large`, 'save it in strips');
  const across = Math.ceil(image.width / size.width);
  const total = across * Math.ceil(image.height / size.height);
  if (total > MOST_CHUNKS) throw tiffFault(file, `it is cut into ${total} ${kind}`, 'save it in larger strips');
  return { ...size, across, rowBytes, total };
};

/** The table's part for one plane; undefined where the tag is absent. */
const tableOf = async (file: TiffFile, entry: TiffEntry | undefined, grid: Grid, plane: number) => {
  if (entry === undefined) return undefined;
  const first = plane * grid.total;
  if (entry.count < first + grid.total)
    throw tiffFault(
      file,
      `it lists ${entry.count} strips or tiles where its size asks for ${first + grid.total}`,
      BROKEN,
    );
  const at = entry.at + first * (FIELD_BYTES[entry.type] ?? 0);
  return readNumbers(file, { ...entry, at, count: grid.total }, grid.total);
};

/** Rows that chunk number i really holds: tiles are padded, strips are not. */
const rowsIn = (grid: Grid, image: TiffImage, i: number): number =>
  grid.tiled ? grid.height : Math.min(grid.height, image.height - i * grid.height);

const checkChunks = (file: TiffFile, grid: Grid, image: TiffImage, offsets: Float64Array, counts: Float64Array) => {
  const kind = grid.tiled ? 'tile' : 'strip';
  const { ratio } = COMPRESSIONS[image.compression]!;
  let unstored = 0;
  for (let i = 0; i < grid.total; i++) {
    const [offset, count] = [offsets[i]!, counts[i]!];
    if (offset === 0 && count === 0) unstored += rowsIn(grid, image, i) * grid.rowBytes;
    else if (offset === 0 || count === 0) throw tiffFault(file, `${kind} ${i} is missing`, BROKEN);
    else if (!(offset + count <= file.source.size))
      throw tiffFault(file, `the file ends early: ${kind} ${i} of ${grid.total} lies beyond its end`, BROKEN);
    else if (count * ratio < rowsIn(grid, image, i) * grid.rowBytes)
      throw tiffFault(file, `${kind} ${i} is too short for its pixels: ${count} bytes`, BROKEN);
  }
  if (unstored > MOST_UNSTORED * file.source.size)
    throw tiffFault(file, `it leaves out almost all of its pixels (${unstored} bytes of ${kind}s)`, BROKEN);
};

/** What was left out is said: such pixels are zeros, or without data where a value stands for that. */
const sparseWarnings = (grid: Grid, image: TiffImage, counts: Float64Array): string[] => {
  const missing = counts.filter((count) => count === 0).length;
  if (missing === 0) return [];
  const meaning = image.noData === undefined ? 'their pixels are 0' : 'their pixels are undefined';
  return [`${missing} of ${grid.total} ${grid.tiled ? 'tiles' : 'strips'} are not stored: ${meaning}`];
};

/** Uncompressed strips whose length is given as 0 although they have a place: their size follows from the picture's. */
const mendCounts = (grid: Grid, image: TiffImage, offsets: Float64Array, counts: Float64Array): string[] => {
  if (image.compression !== 1 || grid.tiled) return [];
  let mended = 0;
  for (let i = 0; i < grid.total; i++) {
    if (counts[i] !== 0 || offsets[i] === 0) continue;
    counts[i] = rowsIn(grid, image, i) * grid.rowBytes;
    mended++;
  }
  return mended === 0 ? [] : ['the lengths of its strips are given as 0; they follow from its size'];
};

/** Strips of known size whose byte counts the writer left out. */
const impliedCounts = (file: TiffFile, grid: Grid, image: TiffImage): Float64Array => {
  if (image.compression !== 1 || grid.tiled)
    throw tiffFault(file, 'it does not give the lengths of its compressed strips or tiles', BROKEN);
  return new Float64Array(grid.total).map((_, i) => rowsIn(grid, image, i) * grid.rowBytes);
};

/**
 * The strips or tiles that hold one sample of a picture.
 * @throws LinewashError 'format' where the compression is not read, a strip or tile lies outside the file, or holds fewer
 * bytes than its pixels can be packed into: so nothing larger than the file can justify is allocated later.
 */
export const readChunks = async (
  file: TiffFile,
  directory: TiffDirectory,
  image: TiffImage,
  sample: number,
  warnings: string[],
): Promise<Chunks> => {
  const known = COMPRESSIONS[image.compression];
  if (image.compression !== 1 && known?.open === undefined && !DISPLAY.has(image.compression))
    throw tiffFault(
      file,
      `its compression (${known?.name ?? 'number'} ${image.compression}) is not read`,
      'save it uncompressed, or with LZW, deflate or Zstandard',
    );
  const { total, ...grid } = await gridOf(file, directory, image);
  const plane = image.planar ? sample : 0;
  const tags = grid.tiled ? [TAG.TileOffsets, TAG.TileByteCounts] : [TAG.StripOffsets, TAG.StripByteCounts];
  const offsets = await tableOf(file, directory.get(tags[0]!), { ...grid, total }, plane);
  if (offsets === undefined) throw tiffFault(file, 'it does not give the positions of its pixels', BROKEN);
  let counts: Float64Array | undefined = await tableOf(file, directory.get(tags[1]!), { ...grid, total }, plane);
  if (counts === undefined) {
    counts = impliedCounts(file, { ...grid, total }, image);
    warnings.push('the lengths of its strips are not stated; they follow from its size');
  }
  warnings.push(...mendCounts({ ...grid, total }, image, offsets, counts));
  checkChunks(file, { ...grid, total }, image, offsets, counts);
  warnings.push(...sparseWarnings({ ...grid, total }, image, counts));
  return { ...grid, offsets, counts };
};
