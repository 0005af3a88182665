import type { PieceLook } from './look/look.ts';
import type { PointFound } from './look/points.ts';
import type { SquareNoise } from './look/square-noise.ts';
import type { StretchSums } from './look/stretches.ts';
import { fillGrid, type Grid } from './planes/local-spread.ts';
import { binnedSize, type CheckSizes, SQUARES, STRETCHES, squaresSize, tilesSize } from './sizes.ts';

/** What all looks at a line found, over the whole frame. */
export interface LineSeen {
  readonly binned: Float32Array;
  readonly squares: SquareNoise;
  readonly spread: Grid;
  readonly columns: StretchSums;
  readonly rows: StretchSums;
}

/** What all looks found. */
export interface FrameSeen {
  readonly lines: readonly LineSeen[];
  readonly points: readonly PointFound[];
}

/** Puts together what was seen in the pieces of a frame. */
export const createMerger = (sizes: CheckSizes, lines: number) => {
  const seen = Array.from({ length: lines }, () => emptyLine(sizes));
  const points: PointFound[] = [];
  return {
    add(look: PieceLook, piece: number): void {
      for (const [k, line] of look.lines.entries()) addLine(seen[k]!, line, piece, sizes);
      for (const point of look.points) points.push(point);
    },
    result: (): FrameSeen => ({
      points,
      lines: seen.map((line) => ({ ...line, spread: fillGrid(line.spread) })),
    }),
  };
};

const emptyLine = (sizes: CheckSizes) => {
  const [binned, squares, tiles] = [binnedSize(sizes), squaresSize(sizes), tilesSize(sizes)];
  const count = ({ width, height }: { width: number; height: number }) => width * height;
  const sums = (places: number) => ({
    sums: new Float32Array(STRETCHES * places),
    counts: new Float32Array(STRETCHES * places),
  });
  return {
    binned: new Float32Array(count(binned)),
    squares: { noise: new Float32Array(count(squares)), level: new Float32Array(count(squares)) },
    spread: { across: tiles.width, down: tiles.height, values: new Float64Array(count(tiles)).fill(Number.NaN) },
    columns: sums(sizes.width),
    rows: sums(sizes.height),
  };
};

const addLine = (
  into: ReturnType<typeof emptyLine>,
  { binned, squares, spread, columns, rows }: PieceLook['lines'][number],
  piece: number,
  sizes: CheckSizes,
): void => {
  const top = piece * sizes.rows;
  into.binned.set(binned, (top / sizes.bin) * binnedSize(sizes).width);
  const square = (top / sizes.square) * squaresSize(sizes).width;
  into.squares.noise.set(squares.noise, square);
  into.squares.level.set(squares.level, square);
  into.spread.values.set(spread, (top / sizes.square / SQUARES) * tilesSize(sizes).width);
  const at = columns.first * sizes.width;
  for (let i = 0; i < columns.sums.length; i++) {
    into.columns.sums[at + i]! += columns.sums[i]!;
    into.columns.counts[at + i]! += columns.counts[i]!;
  }
  const high = rows.sums.length / STRETCHES;
  for (let stretch = 0; stretch < STRETCHES; stretch++) {
    const from = stretch * high;
    into.rows.sums.set(rows.sums.subarray(from, from + high), stretch * sizes.height + top);
    into.rows.counts.set(rows.counts.subarray(from, from + high), stretch * sizes.height + top);
  }
};
