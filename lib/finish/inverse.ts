import { oklabToRgb, rgbToOklab } from '../colour/oklab.ts';
import type { Space } from '../colour/space.ts';
import { chromaAt, hueStep, turnAt } from './bends.ts';
import { bump, type Finish } from './finish.ts';
import { fade } from './finished.ts';
import { toneRatio } from './tone.ts';

const DEGREES = 180 / Math.PI;
/** Halvings: more than float64 can tell apart. */
const HALVINGS = 60;

/** The x between two ends at which a rising function reaches y; an end where it does not. */
const undo = (f: (x: number) => number, y: number, low: number, high: number): number => {
  let [least, most] = [low, high];
  for (let round = 0; round < HALVINGS; round++) {
    const middle = (least + most) / 2;
    if (f(middle) < y) least = middle;
    else most = middle;
  }
  return (least + most) / 2;
};

/** Chroma beyond what any display shows. */
const MOST_CHROMA = 1;

/**
 * The colour that a finish turns into another, by halving: tone, hue and chroma each rise with what they come from. Where a
 * colour cannot be reached (more than the end of a tone curve, chroma where its factor is 0), the nearest that can.
 * @param light linear light of the space, each 0…1
 */
export const beforeFinish = (
  { tone, chroma, bends = [] }: Finish,
  space: Space,
  light: readonly [number, number, number],
): [number, number, number] => {
  const lab = Float64Array.from(light);
  rgbToOklab(lab, 0, space, lab, 0);
  const [shown, a, b] = lab as unknown as [number, number, number];
  const ratio = tone ? toneRatio(tone) : () => 1;
  const lightness = undo((l) => l * ratio(l), shown, 0, 1);
  const end = Math.atan2(b, a) * DEGREES;
  // Hues rise with hues, so that the one that comes out here lies within half a turn of it.
  const hue = bends.length === 0 ? end : end + undo((step) => step + turnAt(bends, end + step), 0, -180, 180);
  const scale = ratio(lightness) * chromaAt(bends, hue);
  const gain = chroma ? (chroma.gain - 1) * fade(lightness, chroma) : 0;
  const factor = (size: number) => (chroma ? scale * (1 + gain * bump(size / chroma.until)) : scale);
  const size = undo((c) => c * factor(c), Math.hypot(a, b), 0, MOST_CHROMA);
  const angle = hueStep(0, hue) / DEGREES;
  lab[0] = lightness;
  lab[1] = size * Math.cos(angle);
  lab[2] = size * Math.sin(angle);
  oklabToRgb(lab, 0, space, lab, 0);
  return [lab[0]!, lab[1]!, lab[2]!];
};
