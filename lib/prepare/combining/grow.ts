import type { Box } from '../../plane/box.ts';
import { countMarked, createMask, eachMarked, isMarked, type Mask, mark } from '../../plane/mask.ts';

/** Pixels of one master that are left out, as they hold what the others do not. */
export interface Outliers {
  readonly mask: Mask;
  readonly pixels: number;
  /** Of all pixels of the picture. */
  readonly share: number;
  /** Where most of them lie: the largest connected groups, each with the pixels of it. */
  readonly largest: readonly (Box & { readonly pixels: number })[];
}

/** Groups that are told of. */
const TOLD = 8;

/**
 * Groups of marked pixels of `from`, each grown into the neighbouring pixels of `into` as far as these reach, and by one pixel to
 * all four sides.
 */
export const growOutliers = (from: Mask, into: Mask): Outliers => {
  const { width, height } = from;
  const grown = createMask(width, height);
  const groups: (Box & { pixels: number })[] = [];
  eachMarked(from, 0, height, (index) => {
    const [x, y] = [index % width, Math.floor(index / width)];
    if (!isMarked(grown, x, y)) groups.push(flood(x, y, from, into, grown));
  });
  const mask = widened(grown);
  const pixels = countMarked(mask);
  const largest = groups.sort((a, b) => b.pixels - a.pixels || a.y - b.y || a.x - b.x).slice(0, TOLD);
  return { mask, pixels, share: pixels / (width * height), largest };
};

/** Marks everything connected to a pixel. */
const flood = (x: number, y: number, from: Mask, into: Mask, grown: Mask): Box & { pixels: number } => {
  const { width, height } = grown;
  const open = [y * width + x];
  mark(grown, x, y);
  let [left, right, top, bottom, pixels] = [x, x, y, y, 0];
  for (let index = open.pop(); index !== undefined; index = open.pop()) {
    const [cx, cy] = [index % width, Math.floor(index / width)];
    pixels++;
    [left, right, top, bottom] = [Math.min(left, cx), Math.max(right, cx), Math.min(top, cy), Math.max(bottom, cy)];
    for (let ny = Math.max(0, cy - 1); ny <= Math.min(height - 1, cy + 1); ny++)
      for (let nx = Math.max(0, cx - 1); nx <= Math.min(width - 1, cx + 1); nx++) {
        if (isMarked(grown, nx, ny) || !(isMarked(into, nx, ny) || isMarked(from, nx, ny))) continue;
        mark(grown, nx, ny);
        open.push(ny * width + nx);
      }
  }
  return { x: left, y: top, width: right - left + 1, height: bottom - top + 1, pixels };
};

const widened = (mask: Mask): Mask => {
  const { width, height } = mask;
  const wide = { ...mask, bits: mask.bits.slice() };
  eachMarked(mask, 0, height, (index) => {
    const [x, y] = [index % width, Math.floor(index / width)];
    if (x > 0) mark(wide, x - 1, y);
    if (x + 1 < width) mark(wide, x + 1, y);
    if (y > 0) mark(wide, x, y - 1);
    if (y + 1 < height) mark(wide, x, y + 1);
  });
  return wide;
};
