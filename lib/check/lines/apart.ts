import type { EvenLine } from './even-lines.ts';

/** Lines nearer than this to a stronger one, all along, are the same; wide ones reach further. */
const NEAR = 10;

/** Whether a line lies along another. */
const isAlong = (line: EvenLine, other: EvenLine): boolean => {
  const [dx, dy] = [other.to[0] - other.from[0], other.to[1] - other.from[1]];
  const length = Math.hypot(dx, dy);
  const off = ([x, y]: EvenLine['from']) => Math.abs((y - other.from[1]) * dx - (x - other.from[0]) * dy) / length;
  return Math.max(off(line.from), off(line.to)) < Math.max(NEAR, 2.5 * Math.max(line.width, other.width) + 4);
};

/** The strongest lines, without those that lie along a stronger one. */
export const apart = <T extends EvenLine>(lines: readonly T[], most: number): T[] => {
  const kept: T[] = [];
  for (const line of [...lines].sort((a, b) => Math.abs(b.score) - Math.abs(a.score))) {
    if (kept.length === most) break;
    if (!kept.some((other) => isAlong(line, other))) kept.push(line);
  }
  return kept;
};
