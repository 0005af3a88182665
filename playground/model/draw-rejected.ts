import { eachMarked, type Mask } from '../../lib/plane/mask.ts';
import { hexOf, REJECTED_COLOURS } from '../../lib/work/rejected-colours.ts';
import { type Camera, type Size, toPicture, toView } from './camera.ts';

/** What lies below is still seen through a mark. */
const OPACITY = 210;

/** Masters beyond the last colour begin anew. */
const colourOf = (master: number) => REJECTED_COLOURS[master % REJECTED_COLOURS.length]!;

/** The colour of the rejected pixels of a master, by its number in the line. */
export const cssOfMaster = (master: number): string => hexOf(colourOf(master));

/** Pixels of a canvas, red, green, blue and alpha. */
interface Pixels extends Size {
  readonly data: Uint8ClampedArray;
}

/** Marks the pixels of masks, each at least one pixel of the canvas large. @param ratio canvas pixels a view pixel */
export const paintRejected = (
  { width, height, data }: Pixels,
  ratio: number,
  { view, camera }: { readonly view: Size; readonly camera: Camera },
  masks: readonly Mask[],
): void => {
  const top = Math.max(0, Math.floor(toPicture(camera, view, { x: 0, y: 0 }).y));
  const bottom = Math.ceil(toPicture(camera, view, { x: 0, y: view.height }).y);
  for (const [k, mask] of masks.entries()) {
    const colour = [...colourOf(k), OPACITY];
    const columns = edgesOf(mask.width, width, (x) => ratio * toView(camera, view, { x, y: 0 }).x);
    const rows = edgesOf(mask.height, height, (y) => ratio * toView(camera, view, { x: 0, y }).y);
    const visible = Math.max(0, Math.min(mask.height, bottom) - top);
    eachMarked(mask, top, visible, (index) => {
      const [x, y] = [index % mask.width, top + Math.floor(index / mask.width)];
      for (let v = rows.from[y]!; v < rows.to[y]!; v++)
        for (let u = columns.from[x]!; u < columns.to[x]!; u++) data.set(colour, 4 * (v * width + u));
    });
  }
};

/** Where each of `count` pixels begins and ends on a canvas of `room` pixels. */
const edgesOf = (count: number, room: number, place: (at: number) => number) => {
  const [from, to] = [new Int32Array(count), new Int32Array(count)];
  for (let at = 0; at < count; at++) {
    from[at] = Math.min(room, Math.max(0, Math.floor(place(at))));
    // A pixel outside of the canvas stays empty.
    to[at] = Math.min(room, Math.max(Math.floor(place(at)) + 1, Math.floor(place(at + 1))));
  }
  return { from, to };
};
