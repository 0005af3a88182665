import type { Box } from './box.ts';
import { originAfter } from './origin.ts';
import type { PlaneSource } from './plane.ts';
import { rowBuffer } from './row-buffer.ts';

/** The part of a source that a box shows. @throws RangeError where the box leaves the picture. */
export const cropped = (source: PlaneSource, box: Box): PlaneSource => {
  if (box.x < 0 || box.y < 0 || box.x + box.width > source.width || box.y + box.height > source.height)
    throw new RangeError('the box leaves the picture');
  const buffer = rowBuffer(source);
  return {
    ...source,
    width: box.width,
    height: box.height,
    raw: undefined,
    ...originAfter(source.origin, (of) => ({ step: 'crop', of, box })),
    readRows: (y, rows, into) =>
      buffer.read(box.y + y, rows, (whole) => {
        for (let r = 0; r < rows; r++) {
          const start = r * source.width + box.x;
          into.set(whole.subarray(start, start + box.width), r * box.width);
        }
      }),
  };
};
