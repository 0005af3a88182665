import type { Chunks } from './chunks.ts';
import { COMPRESSIONS } from './compression.ts';
import type { TiffFile } from './directory.ts';
import { pixelBytes, type TiffImage } from './image.ts';
import { toNativeOrder, undoDifferences, undoFloatPlanes } from './predictor.ts';
import { fillSamples } from './samples.ts';
import { STORED_BYTES } from './stored-type.ts';
import { type ByteStream, piecesOf } from './stream.ts';

/**
 * Fills `into` with stored rows [y, y + rows), top first as stored, pixels without gaps, samples in the machine's byte
 * order. `into` starts at a multiple of 8 in its buffer. One call at a time.
 */
export type StoredRows = (y: number, rows: number, into: Uint8Array) => Promise<void>;

/** Rows [row, row + into.length / rowBytes) of one strip or tile. */
type ChunkRows = (chunk: number, row: number, into: Uint8Array) => Promise<void>;

const SKIP_BYTES = 1 << 18;

/** True where the strips are all stored, one after the other, so that they can be read as one. */
export const areContiguous = (chunks: Chunks): boolean => {
  const { tiled, offsets, counts, height, rowBytes } = chunks;
  if (tiled || counts.includes(0)) return false;
  return offsets.every((offset, i) => i === 0 || offset === offsets[i - 1]! + height * rowBytes);
};

/** Uncompressed: just the bytes that are asked for. */
const storedRows = (file: TiffFile, chunks: Chunks, size: number): ChunkRows => {
  return async (chunk, row, into) => {
    into.set(await file.source.read(chunks.offsets[chunk]! + row * chunks.rowBytes, into.length));
    toNativeOrder(into, size, file.littleEndian);
  };
};

/** A strip or tile being decoded, and the row its stream will give next. */
interface Cursor {
  readonly stream: ByteStream;
  row: number;
}

/** How the bytes of floats lie in the planes of predictor 3; see float-planes.ts. */
export type PlaneOrder = 'as-noted' | 'reversed';

const undoPredictor = (file: TiffFile, image: TiffImage, into: Uint8Array, rowBytes: number, order: PlaneOrder) => {
  const size = STORED_BYTES[image.type];
  const stride = image.planar ? 1 : image.samplesPerPixel;
  const floats = image.predictor === 3;
  if (!floats) toNativeOrder(into, size, file.littleEndian);
  if (image.predictor === 1) return;
  const undo = floats ? undoFloatPlanes : undoDifferences;
  for (let at = 0; at < into.length; at += rowBytes) undo(into.subarray(at, at + rowBytes), size, stride);
  if (floats) toNativeOrder(into, size, order === 'reversed');
};

/**
 * Compressed: one forward stream a strip or tile, kept open while rows are taken from it in order and begun again when
 * an earlier row is asked for. So memory does not grow with the strip, and reading on costs no second decoding.
 */
const streamedRows = (file: TiffFile, image: TiffImage, chunks: Chunks, order: PlaneOrder): ChunkRows => {
  const open = new Map<number, Cursor>();
  const decoder = COMPRESSIONS[image.compression]!.open!;
  const kind = chunks.tiled ? 'tile' : 'strip';
  const drop = (chunk: number) => {
    open.get(chunk)?.stream.close();
    open.delete(chunk);
  };

  const cursorAt = async (chunk: number, row: number): Promise<Cursor> => {
    for (const other of open.keys()) if (Math.abs(other - chunk) >= chunks.across) drop(other);
    if ((open.get(chunk)?.row ?? 0) > row) drop(chunk);
    let cursor = open.get(chunk);
    if (cursor === undefined) {
      const pieces = piecesOf(file.source, chunks.offsets[chunk]!, chunks.counts[chunk]!, `${kind} ${chunk}`);
      cursor = { stream: decoder(pieces), row: 0 };
      open.set(chunk, cursor);
    }
    const skipRows = Math.max(1, Math.floor(SKIP_BYTES / chunks.rowBytes));
    while (cursor.row < row) {
      const rows = Math.min(skipRows, row - cursor.row);
      await cursor.stream.fill(new Uint8Array(rows * chunks.rowBytes));
      cursor.row += rows;
    }
    return cursor;
  };

  return async (chunk, row, into) => {
    try {
      const cursor = await cursorAt(chunk, row);
      await cursor.stream.fill(into);
      cursor.row += into.length / chunks.rowBytes;
      if (cursor.row >= chunks.height) drop(chunk);
    } catch (error) {
      drop(chunk);
      throw error;
    }
    undoPredictor(file, image, into, chunks.rowBytes, order);
  };
};

/** Puts tiles beside one another: `rows` rows from row `row` of band `band`. */
const readBand = async (
  image: TiffImage,
  chunks: Chunks,
  read: ChunkRows,
  band: number,
  row: number,
  into: Uint8Array,
) => {
  const bytes = pixelBytes(image);
  const pictureRow = image.width * bytes;
  const rows = into.length / pictureRow;
  const tile = new Uint8Array(rows * chunks.rowBytes);
  for (let column = 0; column < chunks.across; column++) {
    await read(band * chunks.across + column, row, tile);
    const left = column * chunks.rowBytes;
    const length = Math.min(chunks.rowBytes, pictureRow - left);
    for (let y = 0; y < rows; y++) {
      const from = y * chunks.rowBytes;
      into.set(tile.subarray(from, from + length), y * pictureRow + left);
    }
  }
};

export interface RowOptions {
  readonly order?: PlaneOrder;
  /** One native-order sample for each of a strip or tile that is not stored; zero where absent. */
  readonly unstored?: Uint8Array;
}

/** Access by rows to a plane's strips or tiles; memory is bounded by the rows asked for at once and a band of tiles' streams. */
export const readStoredRows = (
  file: TiffFile,
  image: TiffImage,
  chunks: Chunks,
  { order = 'as-noted', unstored = new Uint8Array(STORED_BYTES[image.type]) }: RowOptions = {},
): StoredRows => {
  const stored = image.compression === 1;
  const present = stored
    ? storedRows(file, chunks, STORED_BYTES[image.type])
    : streamedRows(file, image, chunks, order);
  const read: ChunkRows = async (chunk, row, into) =>
    chunks.counts[chunk] === 0 ? fillSamples(into, unstored) : present(chunk, row, into);
  const chunkRows = stored && areContiguous(chunks) ? image.height : chunks.height;
  const pictureRow = image.width * pixelBytes(image);
  return async (y, rows, into) => {
    for (let done = 0; done < rows; ) {
      const band = Math.floor((y + done) / chunkRows);
      const row = y + done - band * chunkRows;
      const run = Math.min(rows - done, chunkRows - row);
      const target = into.subarray(done * pictureRow, (done + run) * pictureRow);
      if (chunks.tiled) await readBand(image, chunks, read, band, row, target);
      else await read(band, row, target);
      done += run;
    }
  };
};
