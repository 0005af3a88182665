import type { Samples } from '../plane/plane.ts';
import { createScratch, type Scratch } from '../plane/scratch.ts';
import { mendPlaces } from './holes.ts';
import { addLight } from './model.ts';
import type { Place, Splitter, WindowRows } from './splitter.ts';

/** Light of a part of the noise where the mask begins; at the noise it is whole. */
const MASK_FROM = 0.25;

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
    mendPlaces(place, mask, scratch);
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
