import { type Smoothing, wholeScales } from './noise-model.ts';
import { type Grid, gridOf, type Operations } from './operations.ts';
import type { Tile } from './tile.ts';

/** What a tile is smoothed by: the strength comes in only where the result is subtracted. */
export type Unweighted = Omit<Smoothing, 'strength'>;

/** The planes of one size, as indices of their first float. */
export interface Level {
  readonly grid: Grid;
  /** The mask, and what sums over what it defines are multiplied by. */
  readonly mask: number;
  readonly inverse: number;
  /** For each member: the plane that is smoothed next, and one for the result. */
  readonly planes: number[];
  readonly smooth: number[];
  readonly guideEnergy: number;
  /** For each line that is smoothed. */
  readonly removed: readonly number[];
  /** Rows [from, to) of `removed` are needed: others only for what these depend on. */
  readonly from: number;
  readonly to: number;
}

/** A tile in the memory of operations. */
export interface Work {
  readonly operations: Operations;
  readonly memory: Float32Array<ArrayBuffer>;
  /** Full size, a half, a quarter … */
  readonly levels: readonly Level[];
  /** Whether something in the tile is undefined, or lies beyond the frame. */
  masked: boolean;
  /** Whether that is so of a pixel of the tile itself. */
  holes: boolean;
}

/** Gives each plane of a tile its place; nothing is removed yet. */
export const layOut = (
  operations: Operations,
  { width, height }: Tile,
  { scales, noise, lines }: Unweighted,
  wanted: readonly [from: number, to: number],
): Work => {
  let next = 0;
  let [from, to] = wanted;
  const levels: Level[] = [];
  for (let halved = 0; halved <= Math.max(0, wholeScales(scales) - 2); halved++) {
    const grid = gridOf(width >> halved, height >> halved);
    const take = () => {
      next += grid.floats;
      return next - grid.floats;
    };
    const each = <T>(of: readonly T[]) => of.map(take);
    levels.push({
      grid,
      mask: take(),
      inverse: take(),
      planes: each(noise),
      smooth: each(noise),
      guideEnergy: take(),
      removed: each(lines),
      from,
      to,
    });
    // Rows between two that were kept depend on both.
    [from, to] = [from >> 1, Math.min(grid.height >> 1, ((to - 1) >> 1) + 2)];
  }
  const memory = operations.memory(next, `${width} ${height} ${levels.length} ${noise.length} ${lines.length}`);
  for (const { grid, removed } of levels) for (const plane of removed) memory.fill(0, plane, plane + grid.floats);
  return { operations, memory, levels, masked: false, holes: false };
};
