import { formatError } from '../../plane/errors.ts';
import type { Quantizing } from './dither.ts';
import type { Hdu } from './hdu.ts';
import { countOf, EXPORT_AGAIN, type Header, numberOf, stringOf } from './header.ts';
import type { RiceShape } from './rice.ts';

/** How an image is cut into tiles and compressed (FITS standard 4.0, section 10). */
export interface TileShape {
  readonly codec: 'RICE_1' | 'GZIP_1' | 'GZIP_2' | 'NOCOMPRESS';
  readonly tileWidth: number;
  readonly tileHeight: number;
  /** Tiles side by side, and tiles of one plane. */
  readonly across: number;
  readonly perPlane: number;
  readonly rice: RiceShape;
  /** 'NONE' where floats were kept as they are. */
  readonly quantizing: Quantizing | 'NONE';
  /** ZDITHER0. */
  readonly ditherSeed: number;
}

/** A tile is decoded whole; larger ones than the largest sensors would take unreasonable memory. */
const MAX_TILE_PIXELS = 1 << 26;

/** @throws LinewashError 'format' for a codec that is not read here, or a header that contradicts itself. */
export const readTileShape = (file: string, hdu: Hdu): TileShape => {
  const { header, axes } = hdu;
  const codec = readCodec(file, header);
  if (hdu.bitpix === 64)
    throw formatError(file, 'compressed 64-bit integers are not read', 'uncompress the file first');
  const tile = axes.map((length, i) => Math.min(length, countOf(file, header, `ZTILE${i + 1}`, i === 0 ? length : 1)));
  const [width, height] = axes as [number, number];
  const [tileWidth, tileHeight, ...deep] = tile as [number, number];
  if (tile.includes(0)) throw formatError(file, 'the header is wrong: a tile has no pixels', EXPORT_AGAIN);
  if (deep.some((length) => length > 1))
    throw formatError(
      file,
      'compressed tiles that reach over several planes are not read',
      'uncompress the file first',
    );
  if (tileWidth * tileHeight > MAX_TILE_PIXELS)
    throw formatError(
      file,
      `tiles of ${tileWidth} × ${tileHeight} pixels are too large to decode`,
      'uncompress the file first',
    );
  const across = Math.ceil(width / tileWidth);
  return {
    codec,
    tileWidth,
    tileHeight,
    across,
    perPlane: across * Math.ceil(height / tileHeight),
    rice: readRiceShape(file, header),
    quantizing: readQuantizing(file, hdu),
    ditherSeed: numberOf(file, header, 'ZDITHER0') ?? 1,
  };
};

const readCodec = (file: string, header: Header): TileShape['codec'] => {
  const codec = stringOf(header, 'ZCMPTYPE')?.trim().toUpperCase() ?? '';
  switch (codec) {
    case 'RICE_1':
    case 'RICE_ONE':
      return 'RICE_1';
    case 'GZIP_1':
    case 'GZIP_2':
    case 'NOCOMPRESS':
      return codec;
    default:
      throw formatError(
        file,
        codec === '' ? 'compressed tiles without ZCMPTYPE' : `tile compression ${codec.slice(0, 20)} is not read`,
        'uncompress the file first, or compress it with RICE_1 or GZIP_2',
      );
  }
};

const readRiceShape = (file: string, header: Header): RiceShape => {
  const parameter = (name: string, absent: number): number => {
    for (let n = 1; n <= 9; n++)
      if (stringOf(header, `ZNAME${n}`)?.trim() === name) return numberOf(file, header, `ZVAL${n}`) ?? absent;
    return absent;
  };
  const blockSize = parameter('BLOCKSIZE', 32);
  const bytesPerPixel = parameter('BYTEPIX', 4);
  if (bytesPerPixel !== 1 && bytesPerPixel !== 2 && bytesPerPixel !== 4)
    throw formatError(file, `RICE_1 with BYTEPIX ${bytesPerPixel} is not read`, 'uncompress the file first');
  if (!Number.isInteger(blockSize) || blockSize < 1 || blockSize > 256)
    throw formatError(file, `RICE_1 with BLOCKSIZE ${blockSize} is not read`, 'uncompress the file first');
  return { blockSize, bytesPerPixel };
};

const readQuantizing = (file: string, hdu: Hdu): TileShape['quantizing'] => {
  if (hdu.bitpix > 0) return 'NONE';
  const name = stringOf(hdu.header, 'ZQUANTIZ')?.trim().toUpperCase() ?? 'NO_DITHER';
  switch (name) {
    case 'NONE':
    case 'NO_DITHER':
      return name;
    case 'SUBTRACTIVE_DITHER_1':
    case 'SUBTRACTIVE_DITHER_2': {
      const seed = numberOf(file, hdu.header, 'ZDITHER0');
      if (seed !== undefined && Number.isInteger(seed) && seed >= 1 && seed <= 10_000) return name;
      throw formatError(file, `the header is wrong: dithered pixels need ZDITHER0 from 1 to 10000`, EXPORT_AGAIN);
    }
    default:
      throw formatError(
        file,
        `quantized floats with ZQUANTIZ ${name.slice(0, 24)} are not read`,
        'uncompress the file first',
      );
  }
};
