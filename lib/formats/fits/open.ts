import type { ByteSource } from '../../plane/bytes.ts';
import { formatError } from '../../plane/errors.ts';
import { BYTES_PER_SAMPLE, type PlaneSource, type RawRows, type Samples } from '../../plane/plane.ts';
import { type FitsBytes, plainBytes, type SeekPoints } from './bytes.ts';
import { checkSums, hasChecksum } from './checksum.ts';
import { readFacts } from './facts.ts';
import { startsWith } from './hdu.ts';
import { BLOCK_BYTES, stringOf } from './header.ts';
import { type RowLayout, rowReader } from './rows.ts';
import { readScaling, type Scaling, STORED_TYPE } from './scaling.ts';
import { type Chosen, choosePicture, type FitsSelection } from './select.ts';

/**
 * Opens one picture of a FITS file (standard 4.0): primary array or image extension.
 * Rows come top first: the first stored row is the bottom of the picture unless ROWORDER says 'TOP-DOWN'.
 * Without a selection the first HDU with pixels is taken; `warnings` say so where it is not the primary.
 * Undefined pixels (BLANK, NaN) are NaN, ±Infinity stays.
 * @throws LinewashError 'format' for what is not FITS, is damaged or cut, holds no picture, or is a cube without a
 *   plane named; always before memory for pixels is taken.
 */
export const openFits = async (
  source: ByteSource,
  select: FitsSelection = {},
  seekPoints?: SeekPoints,
): Promise<PlaneSource> => {
  const bytes = await openBytes(source, seekPoints);
  const chosen = await choosePicture(bytes, select);
  await checkLength(bytes, chosen);
  return chosen.hdu.kind === 'tiles' ? openTiles(bytes, chosen) : openRows(bytes, chosen);
};

const GZIP_MAGIC = '\x1f\x8b';

/** Looks at the first bytes: FITS, or gzip with FITS inside, inflated `step` bytes at a time. */
export const openBytes = async (source: ByteSource, seekPoints?: SeekPoints, step?: number): Promise<FitsBytes> => {
  const { name } = source;
  if (source.size === 0) throw formatError(name, 'the file is empty', 'copy or export it again');
  const plain = plainBytes(source);
  const packed = await startsWith(plain, 0, GZIP_MAGIC);
  const bytes = packed ? (await import('./gzip-bytes.ts')).gzipBytes(source, seekPoints, step) : plain;
  if (await startsWith(bytes, 0, 'SIMPLE  =')) return bytes;
  throw formatError(name, 'not a FITS file: it does not begin with SIMPLE', 'choose a FITS or TIFF master');
};

/**
 * @throws LinewashError 'format' for what is cut; inside gzip this also reads on to the checksum, where the picture is
 *   the last thing in the file
 */
export const checkLength = async (bytes: FitsBytes, { hdu, label }: Chosen): Promise<void> => {
  const present = await bytes.available(hdu.dataOffset, hdu.dataBytes + BLOCK_BYTES);
  if (present < hdu.dataBytes)
    throw formatError(
      label,
      `the file ends early: the header promises ${hdu.dataBytes} bytes of pixels, ${present} are there`,
      'copy or export the file again',
    );
};

const openRows = (bytes: FitsBytes, chosen: Chosen): PlaneSource => {
  const { hdu, label, plane } = chosen;
  const [width, height] = hdu.axes as [number, number];
  const scaling = readScaling(label, hdu.header, hdu.bitpix);
  const stored = STORED_TYPE[hdu.bitpix]!;
  const { bottomUp } = readRowOrder(chosen);
  const offset = hdu.dataOffset + plane * height * width * BYTES_PER_SAMPLE[stored];
  const layout: RowLayout = { width, height, offset, stored, scaling, bottomUp };
  return planeOf(bytes, chosen, scaling, {
    raw: bytes.inflated ? undefined : rawRows(layout),
    read: rowReader(bytes, layout),
    rowsTogether: bytes.seekPoints && rowsAtOnce(bytes.seekPoints(), layout),
  });
};

/** Inflated bytes that are worth going back to a seek point for, within bounds: a few times what lies between two of them. */
const [LEAST_AT_ONCE, MOST_AT_ONCE, SPACINGS] = [1 << 22, 1 << 24, 4];

const rowsAtOnce = ({ spacing }: SeekPoints, { width, height, stored }: RowLayout): number => {
  const wish = Math.min(MOST_AT_ONCE, Math.max(LEAST_AT_ONCE, SPACINGS * spacing));
  return Math.min(height, Math.max(1, Math.floor(wish / (width * BYTES_PER_SAMPLE[stored]))));
};

/** What reads packed pictures is loaded with the first of them. */
const openTiles = async (bytes: FitsBytes, chosen: Chosen): Promise<PlaneSource> => {
  const { tileDecoder } = await import('./tiles.ts');
  const { tileRowReader } = await import('./tile-rows.ts');
  const { hdu, label, plane } = chosen;
  const [width, height] = hdu.axes as [number, number];
  const scaling = readScaling(label, hdu.header, hdu.bitpix);
  const { shape, decode } = tileDecoder(bytes, label, hdu, scaling);
  const fitsFloat32 = /^([ui](8|16)|f32)$/.test(scaling.type) && scaling.scale === 1;
  const { bottomUp } = readRowOrder(chosen);
  const read = tileRowReader({ width, height, plane, shape, decode, fitsFloat32, bottomUp });
  return planeOf(bytes, chosen, scaling, { raw: undefined, read, rowsTogether: shape.tileHeight });
};

interface Rows {
  readonly raw: RawRows | undefined;
  readonly rowsTogether: number | undefined;
  readonly read: ReadRows;
}

const planeOf = (
  bytes: FitsBytes,
  chosen: Chosen,
  scaling: Scaling,
  { raw, read, rowsTogether }: Rows,
): PlaneSource => {
  const { hdu, label, primary } = chosen;
  const [width, height] = hdu.axes as [number, number];
  const { warning } = readRowOrder(chosen);
  return {
    file: label,
    width,
    height,
    type: scaling.type,
    fullScale: scaling.fullScale,
    facts: readFacts(hdu.header, primary.header),
    warnings: [...chosen.warnings, ...warning, ...scaling.warnings, ...hdu.header.warnings],
    raw,
    rowsTogether,
    ...(bytes.seekPoints && { seekPoints: bytes.seekPoints() }),
    readRows: checkedReader(width, height, read),
    // Inside gzip it would mean inflating everything once more, and gzip has a checksum of its own.
    ...(!bytes.inflated && hasChecksum(hdu) && { checkSums: () => checkSums(bytes, hdu) }),
  };
};

const readRowOrder = ({ hdu }: Chosen): { bottomUp: boolean; warning: string[] } => {
  const order = stringOf(hdu.header, 'ROWORDER')?.trim().toUpperCase();
  if (order === 'TOP-DOWN')
    return { bottomUp: false, warning: ['ROWORDER says TOP-DOWN: the first stored row is read as the top'] };
  if (order === undefined || order === 'BOTTOM-UP') return { bottomUp: true, warning: [] };
  return { bottomUp: true, warning: [`ROWORDER "${order.slice(0, 20)}" is not known and ignored`] };
};

/** 64-bit integers need exact arithmetic that a kernel over `RawRows` does not have. */
const rawRows = ({ width, offset, stored, scaling, bottomUp }: RowLayout): RawRows | undefined => {
  if (stored === 'i64') return undefined;
  const { zero, scale } = scaling;
  const blank = scaling.blank === undefined ? undefined : Number(scaling.blank);
  return {
    offset,
    rowBytes: width * BYTES_PER_SAMPLE[stored],
    type: stored,
    bigEndian: true,
    zero,
    scale,
    blank,
    bottomUp,
  };
};

type ReadRows = PlaneSource['readRows'];

/** Refuses windows that leave the picture: a mistake of the caller, not of the file. */
const checkedReader =
  (width: number, height: number, read: ReadRows): ReadRows =>
  async (y: number, rows: number, into: Samples) => {
    if (!(Number.isInteger(y) && Number.isInteger(rows) && y >= 0 && rows >= 0 && y + rows <= height))
      throw new RangeError(`rows ${y} to ${y + rows} of ${height}`);
    if (into.length < rows * width) throw new RangeError(`${rows} rows of ${width} do not fit into ${into.length}`);
    await read(y, rows, into);
  };
