import type { Samples } from '../plane/plane.ts';
import type { LineNoise } from './noise-model.ts';
import { firstOf, type Grid, type Loading } from './operations.ts';
import { atBorder, type FrameRows, type Tile } from './tile.ts';
import type { Work } from './work.ts';

/** Values further than this many times their noise from the level count as that: products of their squares stay in float32. */
const FARTHEST = 1e5;

/** Brings a tile into memory in units of its noise, above its level; what any member lacks is undefined in all. */
export const loadTile = (work: Work, tile: Tile, frame: FrameRows, noise: readonly LineNoise[]): void => {
  const { memory, operations } = work;
  const { grid, mask, planes } = work.levels[0]!;
  const first = firstOf(grid, mask);
  for (let r = 0; r < tile.height; r++) memory.fill(1, first + r * grid.stride, first + r * grid.stride + tile.width);
  for (const [k, plane] of planes.entries()) {
    copyRows(memory, { grid, plane }, tile, frame, { data: frame.members[k]!, level: noise[k]!.level });
    if (operations.load(grid, plane, mask, loadingOf(frame.members[k]!, noise[k]!))) work.holes = true;
  }
  if (work.holes) for (const plane of planes) operations.cover(grid, mask, plane);
  work.masked = work.holes || atBorder(tile, frame);
};

/** Float32 does not hold wide values: what it gets of them lies above the level already. */
const isWide = (data: Samples): boolean => data instanceof Float64Array;

const loadingOf = (data: Samples, { level, variance }: LineNoise): Loading => {
  const unit = Math.sqrt(variance);
  return { level: isWide(data) ? 0 : level, scale: 1 / unit, farthest: FARTHEST * unit };
};

/** Copies the rows of a tile as they are, NaN where the frame ends. */
const copyRows = (
  memory: Float32Array,
  { grid, plane }: { readonly grid: Grid; readonly plane: number },
  tile: Tile,
  frame: FrameRows,
  { data, level }: { readonly data: Samples; readonly level: number },
): void => {
  const inside = Math.min(frame.width - tile.left, tile.width);
  const wide = isWide(data);
  for (let r = 0; r < tile.height; r++) {
    const to = firstOf(grid, plane) + r * grid.stride;
    const filled = tile.top + r < frame.top + frame.rows ? inside : 0;
    const from = (tile.top + r - frame.top) * frame.width + tile.left;
    if (wide) for (let x = 0; x < filled; x++) memory[to + x] = data[from + x]! - level;
    else memory.set(data.subarray(from, from + filled), to);
    if (filled < tile.width) memory.fill(Number.NaN, to + filled, to + tile.width);
  }
};
