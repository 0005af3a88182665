import type { Samples } from '../plane/plane.ts';
import { createScratch, type Scratch } from '../plane/scratch.ts';
import { filledFrom } from './fill.ts';
import { addLight, FARTHEST, type LineLight, lightOf } from './model.ts';
import { radiusAt } from './shape.ts';
import { type StarLine, type StarList, starsBetween, type Window } from './star-list.ts';

/** Where the light of stars is so many times the noise, its error may be as large as the noise: what lies under it is filled in. */
const FILLED_FROM = 20;
/** Stars fill from where their own light is half of that: two that overlap may reach it together. */
const FILLS_FROM = FILLED_FROM / 2;
/** Nothing is taken below what lies around stars where their light is so many times the noise. */
const GUARDED_FROM = 3;
/** Stars of fainter peaks, in units of the noise, cannot leave a hole. */
const GUARDED_PEAK = 10;
/** How far around a star the lowest value is looked for, and how much further down pixels may go, in units of the noise. */
const AROUND = 15;
const BELOW = 3;
/** Light of a part of the noise where the mask begins, and where it is whole. */
const MASK_FROM = 0.25;
/** Pixels of this part of the full scale are saturated. */
export const FULL = 0.95;
/** Largest half side of a place that is filled. */
const LARGEST_HOLE = 48;

/** What the stars of a list do to pixels, found once for a list. */
export interface Splitter {
  readonly list: StarList;
  readonly light: readonly LineLight[];
  /** For each line and star: half the side of what is filled, 0 for nothing; and how far pixels are guarded. */
  readonly holes: readonly Uint8Array[];
  readonly guarded: readonly Uint8Array[];
  /** Pixels on each side that a pixel depends on. */
  readonly reach: number;
}

export const splitterOf = (list: StarList, farthest = FARTHEST): Splitter => {
  const light = lightOf(list, farthest);
  const sizes = (line: StarLine, k: number, level: number, margin: number, least = 0) =>
    Uint8Array.from(light[k]!.peaks, (peak, s) => {
      const noise = light[k]!.noise[s]!;
      const radius = peak >= least * noise ? radiusAt(line.shape, peak, level * noise) : 0;
      return radius === 0 ? 0 : Math.min(LARGEST_HOLE, Math.ceil(radius)) + margin;
    });
  const holes = list.lines.map((line, k) => sizes(line, k, FILLS_FROM, 1));
  const guarded = list.lines.map((line, k) => sizes(line, k, GUARDED_FROM, 0, GUARDED_PEAK));
  const largest = (all: readonly Uint8Array[]) =>
    Math.max(0, ...all.map((of) => of.reduce((a, b) => Math.max(a, b), 0)));
  const hole = largest(holes);
  const guard = largest(guarded);
  // A place that is filled ends a margin further on; what stands there was taken off already.
  const reach = Math.max(hole && 2 * patchSide(hole) + 2, guard && guard + AROUND + 2);
  return { list, light, holes, guarded, reach };
};

/** Half the side of the patch that a place of half side `hole` is filled from. */
const patchSide = (hole: number): number => hole + Math.max(4, hole >> 1);

/** Rows of a window, the same for all lines; NaN and ±Infinity are undefined. */
export interface WindowRows extends Window {
  readonly lines: readonly Samples[];
}

/** A window's lines without stars, and how much of each pixel is a star's: 0…1. */
export interface Split {
  readonly starless: readonly Samples[];
  readonly mask: Float32Array;
}

/**
 * Takes the stars of a list out of the lines of a window. Pixels nearer to the window's edges than `reach` are only right
 * where the frame ends there. Where the mask is 0, and where a line is undefined, values are those of the lines.
 * @param scratch what is returned lies in it, valid until the next call with it
 */
export const splitWindow = (splitter: Splitter, window: WindowRows, scratch = createScratch()): Split => {
  const { width, height, lines } = window;
  const size = width * height;
  const models = lines.map((_, k) => scratch.zeros(`model ${k}`, size));
  const brights = lines.map((_, k) => scratch.zeros(`bright ${k}`, size));
  const touched = scratch.bytes('touched', size);
  for (const [k, light] of splitter.light.entries())
    addLight(splitter.list, light, window, models[k]!, brights[k]!, touched);
  const mask = scratch.zeros('mask', size);
  const masked = maskOf(touched, brights, lines, mask);
  const starless = lines.map((line, k) => {
    const place: Place = {
      splitter,
      window,
      k,
      line,
      masked,
      model: models[k]!,
      bright: brights[k]!,
      taken: copyOf(line, k, scratch),
    };
    takeOut(place);
    fillHoles(place, holesOf(place, mask, scratch));
    guard(place);
    putBack(place, mask);
    return place.taken;
  });
  return { starless, mask };
};

const copyOf = (line: Samples, k: number, scratch: Scratch): Samples => {
  // Values that float32 does not hold are rare.
  if (line instanceof Float64Array) return line.slice();
  const copy = scratch.floats(`taken ${k}`, line.length);
  copy.set(line);
  return copy;
};

/** Fills the mask; the pixels where it is more than 0. */
const maskOf = (
  touched: Uint8Array,
  brights: readonly Float32Array[],
  lines: readonly Samples[],
  mask: Float32Array,
): Uint32Array => {
  let [count, all] = [0, 0];
  for (let i = 0; i < touched.length; i++) all += touched[i]!;
  const masked = new Uint32Array(all);
  for (let i = 0; i < touched.length; i++) {
    if (touched[i] === 0) continue;
    let most = 0;
    for (let k = 0; k < brights.length; k++) if (brights[k]![i]! > most) most = brights[k]![i]!;
    if (most <= MASK_FROM || !isDefined(lines, i)) continue;
    mask[i] = Math.min(1, (most - MASK_FROM) / (1 - MASK_FROM));
    masked[count++] = i;
  }
  return masked.subarray(0, count);
};

const isDefined = (lines: readonly Samples[], i: number): boolean => {
  for (let k = 0; k < lines.length; k++) if (lines[k]![i]! - lines[k]![i]! !== 0) return false;
  return true;
};

/** Takes the light of stars off. */
const takeOut = ({ masked, taken, model }: Place): void => {
  for (let j = 0; j < masked.length; j++) {
    const i = masked[j]!;
    taken[i]! -= model[i]!;
  }
};

/** Gives back what does not belong to stars. */
const putBack = ({ masked, taken, line }: Place, mask: Float32Array): void => {
  for (let j = 0; j < masked.length; j++) {
    const i = masked[j]!;
    taken[i] = line[i]! - mask[i]! * (line[i]! - taken[i]!);
  }
};

/** One line of a window at work. */
interface Place {
  readonly splitter: Splitter;
  readonly window: WindowRows;
  readonly k: number;
  readonly line: Samples;
  /** The pixels that belong to stars in part or wholly. */
  readonly masked: Uint32Array;
  readonly model: Float32Array;
  readonly bright: Float32Array;
  /** The line less its stars. */
  readonly taken: Samples;
}

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

/** Fills the places of stars from around them; where places overlap, with the mean. */
const fillHoles = (place: Place, holes: Uint8Array): void => {
  const { splitter, window, taken } = place;
  const { width } = window;
  const sums = new Map<number, { sum: number; count: number }>();
  for (const { x, y, side, box } of starsIn(place, splitter.holes, patchSide)) {
    const filled = filledPatch(taken, holes, width, box);
    if (filled === undefined) continue;
    for (let v = Math.max(box.y0, y - side); v < Math.min(box.y1, y + side + 1); v++)
      for (let u = Math.max(box.x0, x - side); u < Math.min(box.x1, x + side + 1); u++) {
        const i = v * width + u;
        if (holes[i] === 0) continue;
        const found = sums.get(i) ?? { sum: 0, count: 0 };
        found.sum += filled[(v - box.y0) * (box.x1 - box.x0) + u - box.x0]!;
        found.count++;
        sums.set(i, found);
      }
  }
  for (const [i, { sum, count }] of sums) taken[i] = sum / count;
};

/** The values of a box with its holes filled from the rest; undefined where there are none, or there is nothing else. */
const filledPatch = (taken: Samples, holes: Uint8Array, width: number, box: Box): Float64Array | undefined => {
  const [w, h] = [box.x1 - box.x0, box.y1 - box.y0];
  if (w < 2 || h < 2) return undefined;
  const values = new Float64Array(w * h);
  const known = new Float64Array(w * h);
  let wanted = false;
  for (let v = 0; v < h; v++)
    for (let u = 0; u < w; u++) {
      const i = (box.y0 + v) * width + box.x0 + u;
      const value = taken[i]!;
      if (holes[i] !== 0) wanted = true;
      else if (value - value === 0) {
        values[v * w + u] = value;
        known[v * w + u] = 1;
      }
    }
  return wanted ? filledFrom(values, known, w, h) : undefined;
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
