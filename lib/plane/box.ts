/** A rectangle of pixels, counted from 0 at the top left. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A box as recipes write it: [x, y, width, height]. */
export type BoxNumbers = readonly [x: number, y: number, width: number, height: number];

export const boxOf = ([x, y, width, height]: BoxNumbers): Box => ({ x, y, width, height });

/** The part of a box that lies within a picture; width or height 0 where none does. */
export const boxWithin = ({ x, y, width, height }: Box, size: { width: number; height: number }): Box => {
  const left = Math.min(size.width, Math.max(0, Math.floor(x)));
  const top = Math.min(size.height, Math.max(0, Math.floor(y)));
  const right = Math.min(size.width, Math.max(left, Math.floor(x + width)));
  const bottom = Math.min(size.height, Math.max(top, Math.floor(y + height)));
  return { x: left, y: top, width: right - left, height: bottom - top };
};
