import type { Box } from '../plane/box.ts';
import type { Size } from '../plane/shrink.ts';

/** The part of a small copy that lies within a box of the full size; a pixel at least. */
export const smallBox = (box: Box, full: Size, small: Size): Box => {
  const along = (from: number, length: number, all: number, less: number): [number, number] => {
    const first = Math.min(less - 1, Math.ceil((from * less) / all));
    return [first, Math.max(1, Math.floor(((from + length) * less) / all) - first)];
  };
  const [x, width] = along(box.x, box.width, full.width, small.width);
  const [y, height] = along(box.y, box.height, full.height, small.height);
  return { x, y, width, height };
};
