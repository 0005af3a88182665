import { originAfter } from '../plane/origin.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { median } from '../plane/robust.ts';
import { isWide, samplesFor } from '../plane/strips.ts';

/** Bright points of a frame that are no part of the sky. */
export interface Spots {
  /** The frame in pixels. */
  readonly width: number;
  readonly height: number;
  /** Column and row of each, in whole pixels from 0 at the top left; by rows, then columns. */
  readonly at: readonly (readonly [x: number, y: number])[];
}

/** A spot is a pixel and what spills over to its neighbours; it is told from the ring of pixels two away. */
const [CORE, RING] = [1, 2];
/** A neighbour belongs to the spot where it stands so many deviations above the ring. */
const SPILLED = 3;
/** Fewer pixels of a ring tell nothing: the spot then stays. */
const FEWEST = 4;
const TO_SIGMA = 1.4826;

/** Rows above and below that a row of a filled source depends on. */
export const FILL_REACH = CORE + RING;

/**
 * A source whose spots are filled: the pixel of each, and those of its eight neighbours that stand more than three
 * deviations above the ring of sixteen pixels around them, become the median of that ring. Pixels of other spots
 * and without data do not count in a ring, and pixels without data stay so. Every value is taken from the source as it was, so that
 * neither order nor cut matters.
 */
export const filled = (source: PlaneSource, spots: Spots): PlaneSource => {
  const { width, height } = source;
  const cores = coresOf(spots);
  return {
    ...source,
    type: isWide(source) ? 'f64' : 'f32',
    fullScale: undefined,
    raw: undefined,
    ...originAfter(source.origin, (of) => ({ step: 'fill', of, spots })),
    async readRows(y, rows, into) {
      const near = spots.at.filter(([, row]) => row >= y - CORE && row < y + rows + CORE);
      if (near.length === 0) return source.readRows(y, rows, into);
      const top = Math.max(0, y - FILL_REACH);
      const below = Math.min(height, y + rows + FILL_REACH);
      const data = samplesFor(source, (below - top) * width);
      await source.readRows(top, below - top, data);
      const patches = near.map((spot) => patchOf({ data, top, width, height }, spot, cores));
      into.set(data.subarray((y - top) * width, (y - top + rows) * width));
      // The first spot of a pixel decides about it.
      for (const { pixels, value } of patches.reverse())
        for (const i of pixels) {
          const at = i - (y - top) * width;
          if (at >= 0 && at < rows * width) into[at] = value;
        }
    },
  };
};

/** Rows of a frame from `top` on. */
interface Rows {
  readonly data: Samples;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** All pixels of spots and beside them. */
const coresOf = ({ width, at }: Spots): ReadonlySet<number> => {
  const found = new Set<number>();
  for (const [x, y] of at)
    eachAround(x, y, CORE, (column, row) => {
      // A column outside would count as a pixel at the other edge.
      if (column >= 0 && column < width) found.add(row * width + column);
    });
  return found;
};

/** What a spot covers, as indices into the rows, and what it is filled with. */
const patchOf = (
  { data, top, width, height }: Rows,
  [x, y]: readonly [number, number],
  cores: ReadonlySet<number>,
): { readonly pixels: readonly number[]; readonly value: number } => {
  const inside = (column: number, row: number) => column >= 0 && column < width && row >= 0 && row < height;
  const index = (column: number, row: number) => (row - top) * width + column;
  const ring: number[] = [];
  eachAround(x, y, RING, (column, row) => {
    if (!inside(column, row) || cores.has(row * width + column)) return;
    const value = data[index(column, row)]!;
    if (Number.isFinite(value)) ring.push(value);
  });
  if (ring.length < FEWEST) return { pixels: [], value: Number.NaN };
  const value = median(ring);
  const limit = value + SPILLED * TO_SIGMA * median(ring.map((of) => Math.abs(of - value)));
  const pixels: number[] = [];
  eachAround(x, y, CORE, (column, row) => {
    if (!inside(column, row)) return;
    const own = data[index(column, row)]!;
    if (Number.isFinite(own) && (own > limit || (column === x && row === y))) pixels.push(index(column, row));
  });
  return { pixels, value };
};

const eachAround = (x: number, y: number, reach: number, visit: (column: number, row: number) => void): void => {
  for (let row = y - reach; row <= y + reach; row++)
    for (let column = x - reach; column <= x + reach; column++) visit(column, row);
};
