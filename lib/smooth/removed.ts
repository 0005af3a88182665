import { loadTile } from './load-tile.ts';
import { scaleDeviations, stepOf, wholeScales } from './noise-model.ts';
import { firstOf, type Grid, NONE, type Operations, WINDOW } from './operations.ts';
import { type FrameRows, type Tile, tilesOver } from './tile.ts';
import { type Level, layOut, type Unweighted, type Work } from './work.ts';

/**
 * What smoothing takes away from rows [y, y + rows) of each line that is smoothed, in units of its noise (√variance of its
 * `LineNoise`), strength 1: smoothed = x − strength · √variance · removed. 0 where a member is undefined.
 * @param frame the rows that `rowsNeeded` names, of all members of the group
 * @param into where to write it, a plane for each line; new ones if left out
 */
export const removedRows = (
  operations: Operations,
  frame: FrameRows,
  smoothing: Unweighted,
  y: number,
  rows: number,
  into = smoothing.lines.map(() => new Float32Array(rows * frame.width)),
): Float32Array<ArrayBuffer>[] => {
  for (const tile of tilesOver(frame, smoothing.scales)) {
    const first = y - tile.top;
    const work = layOut(operations, tile, smoothing, [first, first + rows]);
    loadTile(work, tile, frame, smoothing.noise);
    removeScales(work, smoothing);
    for (const [k, to] of into.entries()) copyOut(work, k, { tile, first, rows, to, width: frame.width });
  }
  return into;
};

interface Part {
  readonly tile: Tile;
  readonly first: number;
  readonly rows: number;
  readonly to: Float32Array;
  readonly width: number;
}

const copyOut = ({ operations, memory, levels, holes }: Work, k: number, { tile, first, rows, to, width }: Part) => {
  const { grid, mask, removed } = levels[0]!;
  if (holes) operations.cover(grid, mask, removed[k]!);
  const start = firstOf(grid, removed[k]!) - tile.left;
  for (let r = 0; r < rows; r++) {
    const at = start + (first + r) * grid.stride;
    to.set(memory.subarray(at + tile.from, at + tile.to), r * width + tile.from);
  }
};

/** Goes through the scales, from fine to coarse, and adds up what each loses. */
const removeScales = (work: Work, smoothing: Unweighted): void => {
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
  { noise, guide, lines }: Unweighted,
  { scale, weight, factors }: ScaleNumbers,
): void => {
  const { grid, mask, planes, smooth, guideEnergy, removed, from, to } = level;
  const step = stepOf(scale);
  // In units of the noise at the level, the variance rises by this for each unit of the value.
  const perCount = noise.map((of) => of.perCount / Math.sqrt(of.variance));
  if (masked) {
    operations.smooth(grid, mask, level.inverse, step, NONE);
    operations.invert(grid, mask, level.inverse, 1);
  }
  for (const [k, plane] of planes.entries())
    operations.smooth(grid, plane, smooth[k]!, step, masked ? level.inverse : NONE);
  const near = rowsOf(grid, from - 2 * step, to + 2 * step);
  for (const [k, plane] of planes.entries())
    operations.whiten(near.part, near.of(plane), near.of(smooth[k]!), factors[k]!, perCount[k]!);
  const { part, of } = rowsOf(grid, from, to);
  const inverse = masked ? of(level.inverse) : NONE;
  if (masked) {
    operations.energy(part, of(mask), inverse, step, NONE);
    operations.invert(part, of(mask), inverse, WINDOW);
  }
  operations.energy(part, of(planes[guide]!), of(guideEnergy), step, inverse);
  for (const [i, k] of lines.entries())
    operations.shrink(part, {
      line: of(planes[k]!),
      guide: of(planes[guide]!),
      guideEnergy: of(guideEnergy),
      smooth: of(smooth[k]!),
      removed: of(removed[i]!),
      inverse,
      step,
      factor: WINDOW * weight * factors[k]!,
      perCount: perCount[k]!,
    });
  for (const [k, plane] of planes.entries()) {
    planes[k] = smooth[k]!;
    smooth[k] = plane;
  }
};
