import type { Samples } from '../plane/plane.ts';
import { type LineNoise, type Smoothing, scaleDeviations, stepOf, wholeScales } from './noise-model.ts';
import { firstOf, type Grid, gridOf, NONE, type Operations } from './operations.ts';
import { atBorder, type FrameRows, type Tile, tilesOver } from './tile.ts';

/** Values further than this many times their noise from the level count as that: products of their squares stay in float32. */
const FARTHEST = 1e5;

/**
 * What smoothing takes away from rows [y, y + rows) of each line that is smoothed, in units of its noise (√variance of its
 * `LineNoise`), strength 1: smoothed = x − strength · √variance · removed. 0 where a member is undefined.
 * @param frame the rows that `rowsNeeded` names, of all members of the group
 */
export const removedRows = (
  operations: Operations,
  frame: FrameRows,
  smoothing: Omit<Smoothing, 'strength'>,
  y: number,
  rows: number,
): Float32Array<ArrayBuffer>[] => {
  const removed = smoothing.lines.map(() => new Float32Array(rows * frame.width));
  for (const tile of tilesOver(frame, smoothing.scales)) {
    const work = layOut(operations, tile, smoothing, [y - tile.top, y - tile.top + rows]);
    load(work, tile, frame, smoothing.noise);
    removeScales(work, smoothing);
    for (const [k, into] of removed.entries()) {
      const start = firstOf(work.levels[0]!.grid, work.levels[0]!.removed[k]!);
      for (let r = 0; r < rows; r++) {
        const at = start + (y + r - tile.top) * work.levels[0]!.grid.stride - tile.left;
        into.set(work.memory.subarray(at + tile.from, at + tile.to), r * frame.width + tile.from);
        if (!work.holes) continue;
        const marks = work.levels[0]!.mask - work.levels[0]!.removed[k]! + at;
        for (let x = tile.from; x < tile.to; x++) if (work.memory[marks + x] === 0) into[r * frame.width + x] = 0;
      }
    }
  }
  return removed;
};

/** The planes of one size. */
interface Level {
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

interface Work {
  readonly operations: Operations;
  readonly memory: Float32Array<ArrayBuffer>;
  /** Full size, a half, a quarter … */
  readonly levels: readonly Level[];
  /** Whether something in the tile is undefined. */
  masked: boolean;
  /** Whether that is so within the frame. */
  holes: boolean;
}

const layOut = (
  operations: Operations,
  { width, height }: Tile,
  smoothing: Omit<Smoothing, 'strength'>,
  wanted: readonly [from: number, to: number],
): Work => {
  let next = 0;
  let [from, to] = wanted;
  const levels: Level[] = [];
  for (let halved = 0; halved <= Math.max(0, wholeScales(smoothing.scales) - 2); halved++) {
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
      planes: each(smoothing.noise),
      smooth: each(smoothing.noise),
      guideEnergy: take(),
      removed: each(smoothing.lines),
      from,
      to,
    });
    // Rows between two that were kept depend on both.
    [from, to] = [from >> 1, Math.min(grid.height >> 1, ((to - 1) >> 1) + 2)];
  }
  const layout = `${width} ${height} ${levels.length} ${smoothing.noise.length} ${smoothing.lines.length}`;
  const memory = operations.memory(next, layout);
  for (const { grid, removed } of levels) for (const plane of removed) memory.fill(0, plane, plane + grid.floats);
  return { operations, memory, levels, masked: false, holes: false };
};

/** Brings a tile into memory in units of its noise, above its level; what any member lacks is undefined in all. */
const load = (work: Work, tile: Tile, frame: FrameRows, noise: readonly LineNoise[]): void => {
  const { memory } = work;
  const { grid, mask, planes } = work.levels[0]!;
  const all = [mask, ...planes];
  const inside = Math.min(frame.width, tile.left + tile.width) - tile.left;
  const filled = Math.min(frame.rows, tile.height);
  let missing = filled < tile.height || inside < tile.width;
  for (let r = 0; r < tile.height; r++) {
    const offset = firstOf(grid, 0) + r * grid.stride;
    const outside = offset + (r < filled ? inside : 0);
    for (const plane of all) memory.fill(0, plane + outside, plane + offset + tile.width);
    if (r >= filled) continue;
    const from = (tile.top + r - frame.top) * frame.width + tile.left;
    memory.fill(1, mask + offset, mask + offset + inside);
    let whole = true;
    for (const [k, plane] of planes.entries())
      if (!loadRow(memory, { data: frame.members[k]!, from, count: inside }, noise[k]!, plane + offset, mask + offset))
        whole = false;
    if (!whole) {
      missing = true;
      work.holes = true;
      for (const plane of planes)
        for (let x = 0; x < inside; x++) if (memory[mask + offset + x] === 0) memory[plane + offset + x] = 0;
    }
  }
  work.masked = missing || atBorder(tile, frame);
};

interface RowOfSamples {
  readonly data: Samples;
  readonly from: number;
  readonly count: number;
}

/** Whether all of the row is defined; unmarks what is not. */
const loadRow = (
  memory: Float32Array,
  { data, from, count }: RowOfSamples,
  { level, variance }: LineNoise,
  to: number,
  mask: number,
): boolean => {
  const scale = 1 / Math.sqrt(variance);
  let whole = true;
  for (let x = 0; x < count; x++) {
    const value = (data[from + x]! - level) * scale;
    if (value - value !== 0) {
      memory[mask + x] = 0;
      memory[to + x] = 0;
      whole = false;
    } else memory[to + x] = Math.min(FARTHEST, Math.max(-FARTHEST, value));
  }
  return whole;
};

/** Goes through the scales, from fine to coarse, and adds up what each loses. */
const removeScales = (work: Work, smoothing: Omit<Smoothing, 'strength'>): void => {
  const { operations, levels, masked } = work;
  const count = wholeScales(smoothing.scales);
  const factors = smoothing.noise.map(({ neighbours }) => scaleDeviations(count, neighbours));
  for (let scale = 0; scale < count; scale++) {
    const level = levels[Math.max(0, scale - 1)]!;
    if (scale >= 2) halveInto(work, levels[scale - 2]!, level);
    const weight = Math.min(1, smoothing.scales - scale);
    removeScale(work, level, smoothing, { scale, weight, factors: factors.map((of) => of[scale]!) });
  }
  for (let i = levels.length - 1; i > 0; i--) {
    const [coarse, fine] = [levels[i]!, levels[i - 1]!];
    for (const [k, plane] of coarse.removed.entries())
      operations.raise(coarse.grid, plane, masked ? coarse.mask : NONE, fine.grid, fine.removed[k]!);
  }
};

const halveInto = ({ operations, masked }: Work, fine: Level, coarse: Level): void => {
  if (masked) operations.halve(fine.grid, fine.mask, coarse.grid, coarse.mask);
  for (const [k, plane] of fine.planes.entries()) operations.halve(fine.grid, plane, coarse.grid, coarse.planes[k]!);
};

interface ScaleNumbers {
  readonly scale: number;
  readonly weight: number;
  /** The deviation of this scale for each member, in units of the pixel noise at the level. */
  readonly factors: readonly number[];
}

/** The rows [from, to) of planes of a grid: the shift of a plane's index, and the grid of these rows alone. */
const rowsOf = (grid: Grid, from: number, to: number) => {
  const first = Math.max(0, from);
  const shift = first * grid.stride;
  return { part: { ...grid, height: Math.min(grid.height, to) - first }, of: (plane: number) => plane + shift };
};

const removeScale = (
  { operations, masked }: Work,
  level: Level,
  { noise, guide, lines }: Omit<Smoothing, 'strength'>,
  { scale, weight, factors }: ScaleNumbers,
): void => {
  const { grid, mask, planes, smooth, guideEnergy, removed, from, to } = level;
  const step = stepOf(scale);
  // In units of the noise at the level, the variance rises by this for each unit of the value.
  const perCount = noise.map((of) => of.perCount / Math.sqrt(of.variance));
  if (masked) {
    operations.smooth(grid, mask, level.inverse, step, NONE);
    operations.invert(grid, mask, level.inverse);
  }
  for (const [k, plane] of planes.entries())
    operations.smooth(grid, plane, smooth[k]!, step, masked ? level.inverse : NONE);
  const near = rowsOf(grid, from - 2 * step, to + 2 * step);
  for (const [k, plane] of planes.entries())
    operations.whiten(near.part, near.of(plane), near.of(smooth[k]!), factors[k]!, perCount[k]!);
  const { part, of } = rowsOf(grid, from, to);
  const inverse = masked ? of(level.inverse) : NONE;
  if (masked) {
    operations.meanSquare(part, of(mask), inverse, step, NONE);
    operations.invert(part, of(mask), inverse);
  }
  operations.meanSquare(part, of(planes[guide]!), of(guideEnergy), step, inverse);
  for (const [i, k] of lines.entries())
    operations.shrink(part, {
      line: of(planes[k]!),
      guide: of(planes[guide]!),
      guideEnergy: of(guideEnergy),
      smooth: of(smooth[k]!),
      removed: of(removed[i]!),
      inverse,
      step,
      factor: factors[k]!,
      perCount: perCount[k]!,
      weight,
    });
  for (const [k, plane] of planes.entries()) {
    planes[k] = smooth[k]!;
    smooth[k] = plane;
  }
};
