/** A square piece of the reference: its upper left corner and its side in pixels. */
export interface Tile {
  readonly x: number;
  readonly y: number;
  readonly side: number;
}

/** Tiles along each axis at most. */
const ALONG = 6;
const [SMALLEST, LARGEST] = [32, 256];
/** Side of a tile in a shrunk picture at least. */
const LEAST = 16;

/**
 * Up to 6 × 6 tiles spread evenly over a frame, rows from top to bottom, none over another: what they say is
 * independent. Their side is a power of two, at most a quarter of the frame's shorter side but for small frames.
 * None where the shorter side is below 64 pixels.
 * @param largest side that no tile exceeds
 */
export const layTiles = (width: number, height: number, along = ALONG, largest = LARGEST): Tile[] => {
  const shorter = Math.min(width, height);
  if (shorter < 2 * SMALLEST) return [];
  const side = Math.min(largest, Math.max(SMALLEST, 2 ** Math.floor(Math.log2(shorter / 4))));
  const places = (length: number) => {
    const count = Math.min(along, Math.floor(length / side));
    return Array.from({ length: count }, (_, i) => Math.round(((i + 0.5) * length) / count - side / 2));
  };
  const across = places(width);
  return places(height).flatMap((y) => across.map((x) => ({ x, y, side })));
};

/** The same tiles in a picture shrunk by `factor`; none where they would be too small to tell anything. */
export const tilesAt = (factor: number, tiles: readonly Tile[]): Tile[] =>
  (tiles[0]?.side ?? 0) / factor < LEAST
    ? []
    : tiles.map(({ x, y, side }) => ({ x: Math.round(x / factor), y: Math.round(y / factor), side: side / factor }));
