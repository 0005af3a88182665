import type { Space } from '../space.ts';

/** How much each cone response counts in the grey towards which a colour is drawn. */
const [LONG, MIDDLE, SHORT] = [0.2, 0.7, 0.1];
/** No cone response falls below this share of that grey. Every colour of the three spaces lies above .25. */
const FLOOR = 0.1;

/**
 * The cone responses of a linear-light colour, those below their floor drawn towards grey together with the others: the cube
 * roots of OKLab rise without bound at 0, so that of neighbouring colours one would come out far from the other.
 * @returns false where the grey of the colour is not above black; `cones` then holds nothing of use
 */
export const flooredCones = (rgb: Float64Array, at: number, { toLms: m }: Space, cones: Float64Array): boolean => {
  for (let i = 0; i < 3; i++)
    cones[i] = m[3 * i]! * rgb[at]! + m[3 * i + 1]! * rgb[at + 1]! + m[3 * i + 2]! * rgb[at + 2]!;
  const grey = LONG * cones[0]! + MIDDLE * cones[1]! + SHORT * cones[2]!;
  if (!(grey > 0 && grey < Number.POSITIVE_INFINITY)) return false;
  // The responses of a grey are equal but for rounding.
  const below = Math.max(0, grey - Math.min(cones[0]!, cones[1]!, cones[2]!));
  const kept = Math.min(1, ((1 - FLOOR) * grey) / below);
  // Greys have equal cone responses, so that drawing a colour towards one is the same in RGB and here.
  for (let i = 0; i < 3; i++) cones[i] = grey + kept * (cones[i]! - grey);
  return true;
};
