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

/**
 * A finish as a function of one colour in linear light, in place, all of it finite. Channels below 0 are possible before it,
 * and any number after it. Greys stay grey. A colour with hardly any response of a cone is first drawn towards grey, as the
 * gamut method `smooth` does, so that neighbouring colours stay neighbours; no colour of the space is one.
 */
export const finishFunction = (finish: Finish, space: Space): ((rgb: Float64Array) => void) => {
  const { chroma, bends = [] } = finish;
  const ratio = finish.tone ? toneRatio(finish.tone) : () => 1;
  const lab = new Float64Array(3);
  return (rgb) => {
    if (!flooredCones(rgb, 0, space, lab)) {
      rgb.fill(0);
      return;
    }
    conesToOklab(lab, 0);
    const [lightness, a, b] = lab as unknown as [number, number, number];
    const scale = ratio(lightness);
    const gained = chroma ? scale * gainAt(chroma, lightness, Math.sqrt(a * a + b * b)) : scale;
    const hue = bends.length > 0 ? Math.atan2(b, a) * DEGREES : 0;
    const angle = turnAt(bends, hue) / DEGREES;
    const factor = gained * chromaAt(bends, hue);
    lab[0] = lightness * scale;
    lab[1] = factor * (a * Math.cos(angle) - b * Math.sin(angle));
    lab[2] = factor * (a * Math.sin(angle) + b * Math.cos(angle));
    oklabToRgb(lab, 0, space, rgb, 0);
  };
};
