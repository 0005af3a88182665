import type { Samples } from '../plane/plane.ts';
import type { Scratch } from '../plane/scratch.ts';
import { createFiller, type Patch } from './fill.ts';
import { AROUND, FILLED_FROM, FULL, GUARDED_FROM, LARGEST_HOLE, type Place, patchSide } from './splitter.ts';
import { starsBetween, type Window } from './star-list.ts';

/** How much further down than all around pixels of stars may go, in units of the noise. */
const BELOW = 3;

/** Fills the places of stars whose light was too bright for what was taken off to be right, and holds back what lies too low. */
export const mendPlaces = (place: Place, mask: Float32Array, scratch: Scratch): void => {
  fillHoles(place, holesOf(place, mask, scratch), scratch);
  guard(place);
};

/** Pixels that are filled, and their neighbours: 1. */
const holesOf = ({ splitter, window, k, line, masked, model, bright }: Place, mask: Float32Array, scratch: Scratch) => {
  const full = splitter.list.lines[k]!.full;
  const saturated = full === undefined ? Number.POSITIVE_INFINITY : FULL * full;
  const holes = scratch.bytes('holes', line.length);
  for (let j = 0; j < masked.length; j++) {
    const i = masked[j]!;
    if (bright[i]! > FILLED_FROM || (model[i]! > 0 && line[i]! >= saturated)) markAround(holes, mask, i, window);
  }
  return holes;
};

const markAround = (holes: Uint8Array, mask: Float32Array, at: number, { width, height }: Window): void => {
  const [x, y] = [at % width, Math.floor(at / width)];
  for (let v = Math.max(0, y - 1); v <= Math.min(height - 1, y + 1); v++)
    for (let u = Math.max(0, x - 1); u <= Math.min(width - 1, x + 1); u++) {
      const i = v * width + u;
      if (mask[i]! > 0) holes[i] = 1;
    }
};

/** Pixels [x0, x1) × [y0, y1). */
interface Box {
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
}

/** The stars of a line that reach a window, with half a side each. */
function* starsIn({ splitter, window, k }: Place, sizes: readonly Uint8Array[], margin: (side: number) => number) {
  const { list } = splitter;
  const { left, top, width, height } = window;
  const most = 2 * LARGEST_HOLE;
  const [from, to] = starsBetween(list, top - most, top + height + most);
  for (let s = from; s < to; s++) {
    const side = sizes[k]![s]!;
    if (side === 0) continue;
    const [x, y] = [Math.round(list.x[s]!) - left, Math.round(list.y[s]!) - top];
    const around = margin(side);
    const box: Box = {
      x0: Math.max(0, x - around),
      x1: Math.min(width, x + around + 1),
      y0: Math.max(0, y - around),
      y1: Math.min(height, y + around + 1),
    };
    if (box.x0 < box.x1 && box.y0 < box.y1) yield { s, x, y, side, box };
  }
}

/** Patches are filled one after the other, wherever in a thread that is. */
const patchOf = createFiller();

/** Fills the places of stars from around them; where places overlap, with the mean. */
const fillHoles = (place: Place, holes: Uint8Array, scratch: Scratch): void => {
  const { splitter, window, taken, masked } = place;
  const { width } = window;
  const sums = scratch.zeros('sums', holes.length);
  const counts = scratch.zeros('counts', holes.length);
  for (const { x, y, side, box } of starsIn(place, splitter.holes, patchSide)) {
    const filled = patchWithHoles(taken, holes, width, box)?.fill();
    if (filled === undefined) continue;
    for (let v = Math.max(box.y0, y - side); v < Math.min(box.y1, y + side + 1); v++)
      for (let u = Math.max(box.x0, x - side); u < Math.min(box.x1, x + side + 1); u++) {
        const i = v * width + u;
        if (holes[i] === 0) continue;
        sums[i]! += filled[(v - box.y0) * (box.x1 - box.x0) + u - box.x0]!;
        counts[i]!++;
      }
  }
  for (let j = 0; j < masked.length; j++) {
    const i = masked[j]!;
    if (counts[i]! > 0) taken[i] = sums[i]! / counts[i]!;
  }
};

/** A box with its holes not known; undefined where it has none. */
const patchWithHoles = (taken: Samples, holes: Uint8Array, width: number, box: Box): Patch | undefined => {
  const [w, h] = [box.x1 - box.x0, box.y1 - box.y0];
  if (w < 2 || h < 2) return undefined;
  const patch = patchOf(w, h);
  let wanted = false;
  for (let v = 0; v < h; v++)
    for (let u = 0; u < w; u++) {
      const i = (box.y0 + v) * width + box.x0 + u;
      const value = taken[i]!;
      if (holes[i] !== 0) wanted = true;
      else if (value - value === 0) {
        patch.values[v * w + u] = value;
        patch.known[v * w + u] = 1;
      }
    }
  return wanted ? patch : undefined;
};

/** Raises pixels that lie far below all that lies around their star: what was taken off was too much. */
const guard = (place: Place): void => {
  const { splitter, window, k, line, bright, taken } = place;
  const { width } = window;
  for (const { s, x, y, box } of starsIn(place, splitter.guarded, (side) => side)) {
    const bound = lowestAround(line, window, x, y) - BELOW * splitter.light[k]!.noise[s]!;
    for (let v = box.y0; v < box.y1; v++)
      for (let u = box.x0; u < box.x1; u++) {
        const i = v * width + u;
        if (bright[i]! > GUARDED_FROM && taken[i]! < bound) taken[i] = Math.min(bound, line[i]!);
      }
  }
};

/** The lowest mean of 3 × 3 pixels near a place; −Infinity where none is defined. */
const lowestAround = (line: Samples, { width, height }: Window, x: number, y: number): number => {
  let lowest = Number.POSITIVE_INFINITY;
  for (let v = y - AROUND; v <= y + AROUND - 2; v += 3)
    for (let u = x - AROUND; u <= x + AROUND - 2; u += 3) {
      if (u < 0 || v < 0 || u + 3 > width || v + 3 > height) continue;
      let sum = 0;
      for (let row = v; row < v + 3; row++) for (let i = row * width + u, end = i + 3; i < end; i++) sum += line[i]!;
      if (sum / 9 < lowest) lowest = sum / 9;
    }
  return lowest === Number.POSITIVE_INFINITY ? Number.NEGATIVE_INFINITY : lowest;
};
