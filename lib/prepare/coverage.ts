import type { Box } from '../plane/box.ts';
import { isMarked, type Mask } from '../plane/mask.ts';

/**
 * The largest axis-parallel rectangle that holds no marked pixel; the first of equals from the top. Undefined where every
 * pixel is marked.
 * Every row is a histogram of free heights, whose largest rectangle a stack of rising heights finds in one walk; time
 * grows with the pixels, memory with the width.
 */
export const largestFree = (mask: Mask): Box | undefined => {
  const heights = new Int32Array(mask.width + 1);
  let best: Box | undefined;
  let area = 0;
  const starts: number[] = [];
  const levels: number[] = [];
  for (let y = 0; y < mask.height; y++) {
    for (let x = 0; x < mask.width; x++) heights[x] = isMarked(mask, x, y) ? 0 : heights[x]! + 1;
    // The column beyond the last has height 0 and closes whatever is open.
    for (let x = 0; x <= mask.width; x++) {
      let start = x;
      while (levels.length > 0 && levels[levels.length - 1]! >= heights[x]!) {
        const height = levels.pop()!;
        start = starts.pop()!;
        if (height * (x - start) > area) {
          area = height * (x - start);
          best = { x: start, y: y - height + 1, width: x - start, height };
        }
      }
      levels.push(heights[x]!);
      starts.push(start);
    }
    levels.length = 0;
    starts.length = 0;
  }
  return best;
};
