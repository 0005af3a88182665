/** Longest side of the small planes that trails are looked for in. */
const LONGEST = 800;
/** Squares whose noise is taken have sides of about so many pixels, and no fewer small pixels than two in large frames. */
const SQUARE = 8;
const LEAST_BINS = 2;
/** Squares in a row of a tile, over which noise is levelled. */
export const SQUARES = 4;
/** Rows that are looked at together, about. */
const ROWS = 128;

/** How a frame is cut up for looking at it. */
export interface CheckSizes {
  readonly width: number;
  readonly height: number;
  /** So many pixels by so many become one of the small planes. */
  readonly bin: number;
  /** Side of a square whose noise is taken, in pixels. */
  readonly square: number;
  /** Rows that are looked at together: whole tiles, and whole small rows. */
  readonly rows: number;
}

/** Of a frame of so many pixels. */
export const sizesFor = (width: number, height: number): CheckSizes => {
  const bin = Math.max(1, Math.ceil(Math.max(width, height) / LONGEST));
  const square = bin * Math.max(Math.ceil(SQUARE / bin), bin > SQUARE / 2 ? LEAST_BINS : 1);
  const tile = SQUARES * square;
  return { width, height, bin, square, rows: tile * Math.max(1, Math.round(ROWS / tile)) };
};

/** Small pixels of a frame; what is left over at its right and lower edges is in none. */
export const binnedSize = ({ width, height, bin }: CheckSizes) => ({
  width: Math.floor(width / bin),
  height: Math.floor(height / bin),
});

/** Squares of a frame. */
export const squaresSize = ({ width, height, square }: CheckSizes) => ({
  width: Math.floor(width / square),
  height: Math.floor(height / square),
});

/** Tiles of a frame, of so many squares by so many; the last of a row or column may have fewer. */
export const tilesSize = (sizes: CheckSizes) => {
  const { width, height } = squaresSize(sizes);
  return { width: Math.ceil(width / SQUARES), height: Math.ceil(height / SQUARES) };
};

/** Stretches that a column or row is looked at in, and about how many of its pixels in each. */
export const STRETCHES = 8;
const LOOKED_AT = 100;

/** Which pixels of a length are looked at: every so many of each stretch. */
export interface Stretches {
  readonly length: number;
  readonly every: number;
}

export const stretchesOf = (length: number): Stretches => ({
  length,
  every: Math.max(1, Math.floor(length / STRETCHES / LOOKED_AT)),
});

/** The stretch of a place; undefined where the place is not looked at. */
export const stretchAt = ({ length, every }: Stretches, at: number): number | undefined => {
  const stretch = Math.min(STRETCHES - 1, Math.floor((at * STRETCHES) / length));
  const start = Math.ceil((stretch * length) / STRETCHES);
  return (at - start) % every === 0 ? stretch : undefined;
};
