import { flooredCones } from '../colour/gamut/floor.ts';
import { conesToOklab, oklabToRgb } from '../colour/oklab.ts';
import type { Space } from '../colour/space.ts';
import { chromaAt, turnAt } from './bends.ts';
import { bump, type ChromaGain, type Finish } from './finish.ts';
import { toneRatio } from './tone.ts';

const DEGREES = 180 / Math.PI;

/** How far the gain counts at a lightness, 0 … 1. */
export const fade = (lightness: number, { from, to }: Pick<ChromaGain, 'from' | 'to'>): number => {
  const t = Math.min(1, Math.max(0, (lightness - from) / (to - from)));
  return t * t * (3 - 2 * t);
};

const gainAt = (chroma: ChromaGain, lightness: number, size: number): number =>
  1 + (chroma.gain - 1) * fade(lightness, chroma) * bump(size / chroma.until);

/** A finish as a function of one colour in OKLab, in place. Greys stay grey. */
export const labFinish = ({ tone, chroma, bends = [] }: Finish): ((lab: Float64Array, at: number) => void) => {
  const ratio = tone ? toneRatio(tone) : () => 1;
  return (lab, at) => {
    const lightness = lab[at]!;
    const a = lab[at + 1]!;
    const b = lab[at + 2]!;
    const scale = ratio(lightness);
    const gained = chroma ? scale * gainAt(chroma, lightness, Math.sqrt(a * a + b * b)) : scale;
    lab[at] = lightness * scale;
    if (bends.length === 0) {
      lab[at + 1] = gained * a;
      lab[at + 2] = gained * b;
      return;
    }
    const hue = Math.atan2(b, a) * DEGREES;
    const angle = turnAt(bends, hue) / DEGREES;
    const factor = gained * chromaAt(bends, hue);
    lab[at + 1] = factor * (a * Math.cos(angle) - b * Math.sin(angle));
    lab[at + 2] = factor * (a * Math.sin(angle) + b * Math.cos(angle));
  };
};

/**
 * The OKLab colour that a finish starts from: a linear-light colour with hardly any response of a cone is first drawn towards
 * grey, as the gamut method `smooth` does, so that neighbouring colours stay neighbours; no colour of the space is one.
 */
export const labBefore = (rgb: Float64Array, at: number, space: Space, lab: Float64Array, to: number): void => {
  if (!flooredCones(rgb, at, space, cones)) {
    lab.fill(0, to, to + 3);
    return;
  }
  conesToOklab(cones, 0);
  lab.set(cones, to);
};

const cones = new Float64Array(3);

/**
 * A finish as a function of one colour in linear light, in place, all of it finite. Channels below 0 are possible before it,
 * and any number after it.
 */
export const finishFunction = (finish: Finish, space: Space): ((rgb: Float64Array) => void) => {
  const finished = labFinish(finish);
  const lab = new Float64Array(3);
  return (rgb) => {
    labBefore(rgb, 0, space, lab, 0);
    finished(lab, 0);
    oklabToRgb(lab, 0, space, rgb, 0);
  };
};
