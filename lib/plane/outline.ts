import type { Box } from './box.ts';

/**
 * An area of a frame: closed rings of corners x, y, x, y … in pixels, 0 at the top left corner of the frame. A pixel belongs to
 * the area where its middle lies inside an odd number of rings.
 */
export type Rings = readonly (readonly number[])[];

/** The smallest box of whole pixels that holds an area. */
export const boxAround = (rings: Rings): Box => {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const ring of rings)
    for (let i = 0; i + 1 < ring.length; i += 2) {
      [left, right] = [Math.min(left, ring[i]!), Math.max(right, ring[i]!)];
      [top, bottom] = [Math.min(top, ring[i + 1]!), Math.max(bottom, ring[i + 1]!)];
    }
  if (!(right > left && bottom > top)) return { x: 0, y: 0, width: 0, height: 0 };
  const [x, y] = [Math.floor(left), Math.floor(top)];
  return { x, y, width: Math.ceil(right) - x, height: Math.ceil(bottom) - y };
};

/** The pixels of row `y` that belong to an area, as columns [from, to) in rising order, from, to, from, to … */
export const rowWithin = (rings: Rings, y: number): number[] => {
  const crossings: number[] = [];
  const middle = y + 0.5;
  for (const ring of rings)
    for (let i = 0; i + 1 < ring.length; i += 2) {
      const [x0, y0] = [ring[i]!, ring[i + 1]!];
      const next = i + 3 < ring.length ? i + 2 : 0;
      const [x1, y1] = [ring[next]!, ring[next + 1]!];
      if (y0 <= middle === y1 <= middle) continue;
      crossings.push(x0 + ((x1 - x0) * (middle - y0)) / (y1 - y0));
    }
  // A pixel is inside from the first whose middle lies beyond a crossing; there is no −0.
  return crossings.sort((a, b) => a - b).map((x) => Math.ceil(x - 0.5) + 0);
};
