import type { BlockGrid } from '../../plane/block-grid.ts';
import type { BlockPlaces } from './block-places.ts';
import { normalEquations } from './normal-equations.ts';
import type { Marks, RobustFit } from './robust-fit.ts';
import type { Shade } from './shade.ts';
import type { SurfacePoint } from './surface.ts';

/** How far the plane at a node looks, in blocks, and the spread of its weights. */
const REACH = 2.5;
const SPREAD = 0.35;
/** Digits that the nodes keep: far finer than noise. */
const DIGITS = 6;

/**
 * The depth of the blocks of a region below a surface, as a grid with a node for each block: the height there of a plane
 * through the blocks around it, nearer ones weighing more, blocks outside the region counting as 0. A shadow takes light
 * away: nodes are 0 or below, so that a nebula over the shadow stays.
 */
export const fitShade = (
  { size, width, height, blocks }: BlockGrid,
  points: readonly SurfacePoint[],
  places: BlockPlaces,
  region: Marks,
  { at }: Pick<RobustFit, 'at'>,
): Shade => {
  const samples = blocks.map(({ x, y }, k) => {
    const { u, v, value } = points[k]!;
    const depth = region[k] === 1 ? Math.min(0, value - at(u, v)) : 0;
    return { column: (x + 0.5) / size - 0.5, row: (y + 0.5) / size - 0.5, depth };
  });
  const [first, last] = extent(places.column, region);
  const [top, bottom] = extent(places.row, region);
  const values: number[] = [];
  for (let row = top; row <= bottom; row++)
    for (let column = first; column <= last; column++) values.push(nodeDepth(places, region, samples, column, row));
  const position = (block: number, length: number) => ((2 * block + 1) * size) / length - 1;
  return {
    left: position(first, width),
    top: position(top, height),
    right: position(last, width),
    bottom: position(bottom, height),
    columns: last - first + 1,
    rows: bottom - top + 1,
    values,
  };
};

/** The first and last position of a region, and one more on either side. */
const extent = (positions: Int32Array, region: Marks): [number, number] => {
  const inside = positions.filter((_, k) => region[k] === 1);
  const least = inside.reduce((a, b) => Math.min(a, b));
  return [least - 1, inside.reduce((a, b) => Math.max(a, b)) + 1];
};

interface Sample {
  /** Where the pixels of a block lie in the mean, in blocks. */
  readonly column: number;
  readonly row: number;
  readonly depth: number;
}

/** Beyond the edges of the frame, and where a block holds too little, the plane goes on; elsewhere 0 outside the region. */
const nodeDepth = (
  places: BlockPlaces,
  region: Marks,
  samples: readonly Sample[],
  column: number,
  row: number,
): number => {
  const { columns, rows, at } = places;
  const inFrame = column >= 0 && row >= 0 && column < columns && row < rows;
  const own = inFrame ? at[row * columns + column]! : -1;
  if (own >= 0 && region[own] === 0) return 0;
  const sums = normalEquations(3);
  const reach = Math.floor(REACH);
  let touches = false;
  for (let r = Math.max(0, row - reach); r <= Math.min(rows - 1, row + reach); r++)
    for (let c = Math.max(0, column - reach); c <= Math.min(columns - 1, column + reach); c++) {
      const k = at[r * columns + c]!;
      if (k < 0) continue;
      const [dx, dy] = [samples[k]!.column - column, samples[k]!.row - row];
      if (Math.hypot(dx, dy) > REACH) continue;
      touches ||= region[k] === 1;
      sums.add(Float64Array.of(1, dx, dy), 0, samples[k]!.depth, Math.exp(-(dx * dx + dy * dy) / (2 * SPREAD ** 2)));
    }
  if (!touches) return 0;
  return Number(Math.min(0, sums.solve()[0]!).toPrecision(DIGITS));
};
