import { inGamut } from '../colour/gamut/method.ts';
import { oklabToRgb } from '../colour/oklab.ts';
import type { Space } from '../colour/space.ts';
import { type Finish, MOST_GAIN } from './finish.ts';
import { labBefore, labFinish } from './finished.ts';

/** The gain aims at this OKLab chroma for this share of the pixels. */
const TARGET = 0.12;
const SHARE = 0.95;
/** Not more of the pixels than this may leave the space for it. */
const MOST_OUTSIDE = 0.02;
/** What leaves the space by less shows nowhere. */
const ROUNDING = 1e-4;
/** Halvings of the range of gains: to a thousandth. */
const ROUNDS = 11;

/**
 * The gain on chroma with which 5 % of the pixels exceed an OKLab chroma of 0.12; less where more than 2 % would leave the
 * space, and where the most that a recipe may ask for does not do.
 * @param colours linear light of pixels without stars as they come to the finish, red, green, blue after each other
 * @returns 1 … 2.2, in steps of a hundredth
 */
export const findAutoGain = (colours: Float64Array, finish: Finish, space: Space): number => {
  const chroma = finish.chroma!;
  const labs = new Float64Array(colours.length);
  for (let at = 0; at < colours.length; at += 3) labBefore(colours, at, space, labs, at);
  const shown = (gain: number) => judge(labs, { ...finish, chroma: { ...chroma, gain } }, space);
  const plain = shown(1);
  const fits = ({ outside, chroma: found }: Judged) =>
    found <= TARGET && outside <= Math.max(MOST_OUTSIDE, plain.outside);
  let [low, high] = [1, MOST_GAIN];
  if (fits(shown(high))) low = high;
  for (let round = 0; round < ROUNDS && low < high; round++) {
    const middle = (low + high) / 2;
    if (fits(shown(middle))) low = middle;
    else high = middle;
  }
  return Math.floor(low * 100 + 1e-9) / 100;
};

interface Judged {
  readonly chroma: number;
  readonly outside: number;
}

const judge = (labs: Float64Array, finish: Finish, space: Space): Judged => {
  const finished = labFinish(finish);
  const count = labs.length / 3;
  const chromas = new Float64Array(count);
  const [lab, rgb] = [new Float64Array(3), new Float64Array(3)];
  let outside = 0;
  for (let i = 0; i < count; i++) {
    lab.set(labs.subarray(3 * i, 3 * i + 3));
    finished(lab, 0);
    chromas[i] = Math.sqrt(lab[1]! * lab[1]! + lab[2]! * lab[2]!);
    oklabToRgb(lab, 0, space, rgb, 0);
    if (!isNear(rgb)) outside++;
  }
  chromas.sort();
  return { chroma: chromas[Math.floor(SHARE * (count - 1))] ?? 0, outside: outside / Math.max(1, count) };
};

const isNear = (rgb: Float64Array): boolean => inGamut(rgb, 0) || rgb.every((v) => v >= -ROUNDING && v <= 1 + ROUNDING);
