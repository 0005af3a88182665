import type { Box } from '../../lib/plane/box.ts';
import type { Point, Size } from './camera.ts';

/** The whole pixels between two corners, inside the picture, each side at least `smallest`. */
export const boxBetween = (one: Point, other: Point, picture: Size, smallest: number): Box => {
  const span = (a: number, b: number, end: number): [number, number] => {
    const low = Math.max(0, Math.floor(Math.min(a, b)));
    const high = Math.min(end, Math.ceil(Math.max(a, b)));
    const length = Math.min(end, Math.max(smallest, high - low));
    return [Math.max(0, Math.min(low, end - length)), length];
  };
  const [x, width] = span(one.x, other.x, picture.width);
  const [y, height] = span(one.y, other.y, picture.height);
  return { x, y, width, height };
};

/** The box with one side set, kept inside the picture. */
export const withSide = (box: Box, side: keyof Box, value: number, picture: Size, smallest: number): Box => {
  const { x, y, width, height }: Box = { ...box, [side]: Math.round(value) };
  const clamp = (v: number, low: number, high: number) => Math.min(high, Math.max(low, v));
  const left = clamp(x, 0, picture.width - smallest);
  const top = clamp(y, 0, picture.height - smallest);
  return {
    x: left,
    y: top,
    width: clamp(width, smallest, picture.width - left),
    height: clamp(height, smallest, picture.height - top),
  };
};

/**
 * How far a name that stands on the upper left corner of a box moves so that all of it is in view, along and within the box.
 * All in view pixels; the corner counts from the view's own. A box out of view keeps its name.
 */
export const nameOffset = (box: Box, name: Size, view: Size): Point => {
  const seen = box.x < view.width && box.x + box.width > 0 && box.y < view.height && box.y + box.height > 0;
  if (!seen) return { x: 0, y: 0 };
  const x = Math.max(0, Math.min(box.x, view.width - name.width));
  return { x: x - box.x, y: Math.max(0, name.height - box.y) };
};
