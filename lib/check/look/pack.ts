import { joined, parted } from '../joined.ts';
import type { LineLook, PieceLook } from './look.ts';
import type { PointFound } from './points.ts';

/** Numbers of a point before those of each line. */
const NUMBERS = 5;

const PARTS = 9;

/** A look as numbers that cross threads. */
export const packLook = ({ lines, points }: PieceLook): Float32Array<ArrayBuffer> =>
  joined([
    points.flatMap(({ x, y, line, size, height, light, most }) => [x, y, line, size, height, ...light, ...most]),
    ...lines.flatMap(({ binned, squares, spread, columns, rows }) => [
      binned,
      squares.noise,
      squares.level,
      spread,
      [columns.first],
      columns.sums,
      columns.counts,
      rows.sums,
      rows.counts,
    ]),
  ]);

/** A look from its numbers, which it keeps using. */
export const unpackLook = (packed: Float32Array): PieceLook => {
  const [points, ...parts] = parted(packed);
  const lines = Array.from({ length: parts.length / PARTS }, (_, k): LineLook => {
    const [binned, noise, level, spread, first, ...sums] = parts.slice(k * PARTS, (k + 1) * PARTS) as Parts;
    return {
      binned,
      squares: { noise, level },
      spread,
      columns: { first: first[0]!, sums: sums[0], counts: sums[1] },
      rows: { sums: sums[2], counts: sums[3] },
    };
  });
  return { lines, points: pointsFrom(points!, lines.length) };
};

type Parts = [
  binned: Float32Array,
  noise: Float32Array,
  level: Float32Array,
  spread: Float32Array,
  first: Float32Array,
  columnSums: Float32Array,
  columnCounts: Float32Array,
  rowSums: Float32Array,
  rowCounts: Float32Array,
];

const pointsFrom = (numbers: Float32Array, lines: number): PointFound[] => {
  const each = NUMBERS + 2 * lines;
  return Array.from({ length: numbers.length / each }, (_, p) => {
    const [x, y, line, size, height, ...light] = numbers.subarray(p * each, (p + 1) * each);
    return {
      x: x!,
      y: y!,
      line: line!,
      size: size!,
      height: height!,
      light: light.slice(0, lines),
      most: light.slice(lines),
    };
  });
};
