import { formatError } from '../../plane/errors.ts';
import type { Samples } from '../../plane/plane.ts';
import { blockCache } from './block-cache.ts';
import type { FitsBytes } from './bytes.ts';
import { unquantize } from './dither.ts';
import type { Hdu } from './hdu.ts';
import { numberOf } from './header.ts';
import { type Stored, scaleSamples } from './samples.ts';
import { readBlank, type Scaling } from './scaling.ts';
import { decodeRiceTile, type Fault, inflateTile, toSamples, unshuffle } from './tile-codec.ts';
import { readTileShape, type TileShape } from './tile-shape.ts';
import { type HeapSpan, readCell, readSpan, readTileTable, type TileTable } from './tile-table.ts';

/** All that decoding a tile needs. */
interface TileContext {
  readonly file: string;
  readonly hdu: Hdu;
  readonly shape: TileShape;
  readonly table: TileTable;
  readonly scaling: Scaling;
  /** ZSCALE, ZZERO and ZBLANK of the header, for tables without such columns. */
  readonly keywords: Readonly<Record<'ZSCALE' | 'ZZERO' | 'ZBLANK', number | undefined>>;
  readonly read: (offset: number, length: number) => Promise<Uint8Array>;
}

/**
 * Decodes tile `index` of the table, `count` pixels, to physical values at the start of what `into` gives.
 * `into` is called only when the tile has proved to hold so many pixels, so that it may take memory.
 */
export type DecodeTile = (index: number, count: number, into: () => Samples) => Promise<void>;

/**
 * Prepares a tile-compressed image (FITS standard 4.0, section 10) for decoding tile by tile.
 * @throws LinewashError 'format' for codecs not read here and for tables that contradict themselves.
 */
export const tileDecoder = (
  bytes: FitsBytes,
  file: string,
  hdu: Hdu,
  scaling: Scaling,
): { shape: TileShape; decode: DecodeTile } => {
  const table = readTileTable(file, hdu);
  const planes = hdu.axes.slice(2).reduce((product, length) => product * length, 1);
  const keyword = (name: string) => numberOf(file, hdu.header, name);
  const keywords = { ZSCALE: keyword('ZSCALE'), ZZERO: keyword('ZZERO'), ZBLANK: keyword('ZBLANK') };
  const declared = readTileShape(file, hdu);
  // Floats that were kept whole come without a scale, whatever ZQUANTIZ says.
  const scaled = table.columns.has('ZSCALE') || keywords.ZSCALE !== undefined;
  const shape: TileShape = scaled ? declared : { ...declared, quantizing: 'NONE' };
  if (shape.perPlane * planes > table.rows)
    throw formatError(
      file,
      `the table holds ${table.rows} tiles where ${shape.perPlane * planes} are needed`,
      'export the file again',
    );
  const read = blockCache(bytes, table.offset, table.end);
  const context: TileContext = { file, hdu, shape, table, scaling: withBlank(hdu, scaling), keywords, read };
  return { shape, decode: (index, count, into) => decodeTile(context, index, count, into) };
};

/** Integers may name their undefined value in ZBLANK instead of BLANK. */
const withBlank = (hdu: Hdu, scaling: Scaling): Scaling =>
  hdu.bitpix < 0 || scaling.blank !== undefined
    ? scaling
    : { ...scaling, blank: readBlank(hdu.header, 'ZBLANK', hdu.bitpix, []) };

const decodeTile = async (context: TileContext, index: number, count: number, into: () => Samples): Promise<void> => {
  const { table, hdu } = context;
  const bytes = await context.read(table.offset + index * table.rowBytes, table.rowBytes);
  const row = new DataView(new Uint8Array(bytes).buffer);
  const { stored, coded } = await readStored(context, row, index, count);
  const quantized = coded && hdu.bitpix < 0 && stored instanceof Int32Array;
  scaleSamples(quantized ? toFloats(context, row, stored, index) : stored, count, context.scaling, into(), 0);
};

/** Quantized integers as floats of the image's own type. */
const toFloats = (context: TileContext, row: DataView, stored: Int32Array, index: number) => {
  const { file, hdu, table, shape, keywords } = context;
  const cell = (name: 'ZSCALE' | 'ZZERO' | 'ZBLANK') => readCell(table, row, name) ?? keywords[name];
  const [scale, method] = [cell('ZSCALE'), shape.quantizing];
  if (scale === undefined || method === 'NONE') throw tileError(file, index, 'it has no ZSCALE to scale its integers');
  const floats = hdu.bitpix === -32 ? new Float32Array(stored.length) : new Float64Array(stored.length);
  const seed = (index + shape.ditherSeed - 1) % 10_000;
  unquantize(stored, stored.length, { scale, zero: cell('ZZERO') ?? 0, blank: cell('ZBLANK'), method, seed }, floats);
  return floats;
};

const tileError = (file: string, index: number, fault: string) =>
  formatError(file, `tile ${index + 1} is damaged: ${fault}`, 'copy or export the file again');

/** The tile's samples as stored; `coded` where they come from the column of the image's own codec. */
const readStored = async (
  context: TileContext,
  row: DataView,
  index: number,
  count: number,
): Promise<{ stored: Stored; coded: boolean }> => {
  const { file, table, hdu, shape } = context;
  const take = async (span: HeapSpan) => context.read(span.offset, span.length);
  const unwrap = <T>(result: T | Fault): T => {
    if (result !== null && typeof result === 'object' && 'fault' in result) throw tileError(file, index, result.fault);
    return result;
  };
  const own = readSpan(file, table, row, 'COMPRESSED_DATA');
  if (own) return { stored: unwrap(decodeOwn(await take(own), count, shape, hdu)), coded: true };
  const zipped = readSpan(file, table, row, 'GZIP_COMPRESSED_DATA');
  const sizes = hdu.bitpix < 0 ? [-hdu.bitpix / 8] : [1, 2, 4];
  if (zipped)
    return {
      stored: toSamples(unwrap(inflateTile(await take(zipped), count, sizes)), count, hdu.bitpix < 0),
      coded: false,
    };
  const plain = readSpan(file, table, row, 'UNCOMPRESSED_DATA');
  if (plain && sizes.includes(plain.length / count))
    return { stored: toSamples(await take(plain), count, hdu.bitpix < 0), coded: false };
  throw tileError(file, index, plain ? 'its size is wrong' : 'it holds no data');
};

const decodeOwn = (bytes: Uint8Array, count: number, shape: TileShape, hdu: Hdu): Stored | Fault => {
  if (shape.codec === 'RICE_1') return decodeRiceTile(bytes, count, shape.rice);
  const float = hdu.bitpix < 0 && shape.quantizing === 'NONE';
  const sizes = float ? [-hdu.bitpix / 8] : hdu.bitpix < 0 ? [4] : [1, 2, 4];
  if (shape.codec === 'NOCOMPRESS')
    return sizes.includes(bytes.length / count) ? toSamples(bytes, count, float) : { fault: 'its size is wrong' };
  const inflated = inflateTile(bytes, count, sizes);
  if ('fault' in inflated) return inflated;
  return toSamples(shape.codec === 'GZIP_2' ? unshuffle(inflated, count) : inflated, count, float);
};
