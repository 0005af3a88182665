import type { PlaneSource, Samples } from '../../plane/plane.ts';
import { queue } from './queue.ts';
import type { TileShape } from './tile-shape.ts';
import type { DecodeTile } from './tiles.ts';

/** A tile-compressed picture to be read by rows. */
export interface TileLayout {
  readonly width: number;
  readonly height: number;
  /** 0-based plane of a cube. */
  readonly plane: number;
  readonly shape: TileShape;
  readonly decode: DecodeTile;
  /** Whether float32 holds every physical value exactly. */
  readonly fitsFloat32: boolean;
  readonly bottomUp: boolean;
}

/**
 * As `rowReader`, for tiles. A row of tiles (a band) is decoded as a whole and the latest is kept, so that strips
 * which do not end where tiles do decode nothing twice. Memory: one band, and one tile where several lie side by side.
 */
export const tileRowReader = (layout: TileLayout): PlaneSource['readRows'] => {
  const { width, height, bottomUp, shape } = layout;
  const { tileHeight } = shape;
  const load = bandLoader(layout);
  const inTurn = queue();
  const read = async (y: number, rows: number, into: Samples): Promise<void> => {
    const first = bottomUp ? height - y - rows : y;
    const bands = Array.from(
      { length: Math.ceil((first + rows) / tileHeight) - Math.floor(first / tileHeight) },
      (_, i) => Math.floor(first / tileHeight) + i,
    );
    for (const index of bottomUp ? bands.reverse() : bands) {
      const band = await load(index);
      const start = Math.max(first, index * tileHeight);
      const end = Math.min(first + rows, (index + 1) * tileHeight);
      for (let row = start; row < end; row++) {
        const from = (row - index * tileHeight) * width;
        const top = bottomUp ? height - 1 - row - y : row - y;
        into.set(band.subarray(from, from + width), top * width);
      }
    }
  };
  return (y, rows, into) => inTurn(() => read(y, rows, into));
};

const bandLoader = ({ width, height, plane, shape, decode, fitsFloat32 }: TileLayout) => {
  const { tileWidth, tileHeight, across, perPlane } = shape;
  const samples = (length: number): Samples => (fitsFloat32 ? new Float32Array(length) : new Float64Array(length));
  let band: Samples | undefined;
  let tile: Samples | undefined;
  let current = -1;
  return async (index: number): Promise<Samples> => {
    if (band && index === current) return band;
    current = -1;
    const rows = Math.min(tileHeight, height - index * tileHeight);
    const first = plane * perPlane + index * across;
    const takeBand = () => (band ??= samples(width * tileHeight));
    const takeTile = () => (tile ??= samples(tileWidth * tileHeight));
    for (let column = 0; column < across; column++) {
      const columns = Math.min(tileWidth, width - column * tileWidth);
      await decode(first + column, columns * rows, across === 1 ? takeBand : takeTile);
      if (across === 1) break;
      for (let row = 0; row < rows; row++)
        takeBand().set(takeTile().subarray(row * columns, (row + 1) * columns), row * width + column * tileWidth);
    }
    current = index;
    return band!;
  };
};
