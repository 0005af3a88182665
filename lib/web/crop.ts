import type { PlaneSource } from '../plane/plane.ts';
import { samplesFor } from '../plane/strips.ts';

/** A box of pixels, top-first, inside a picture. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** The part of a source that lies in a box, as a source of its own. */
export const crop = (source: PlaneSource, box: Box): PlaneSource => ({
  ...source,
  width: box.width,
  height: box.height,
  raw: undefined,
  async readRows(y, rows, into) {
    if (box.x === 0 && box.width === source.width) return source.readRows(box.y + y, rows, into);
    const whole = samplesFor(source, rows * source.width);
    await source.readRows(box.y + y, rows, whole);
    for (let r = 0; r < rows; r++) {
      const start = r * source.width + box.x;
      into.set(whole.subarray(start, start + box.width), r * box.width);
    }
  },
});
