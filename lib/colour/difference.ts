import type { Triple } from '../plane/linear.ts';
import { rgbToLab } from './lab.ts';
import { labDistance, rgbToOklab } from './oklab.ts';
import type { Space } from './space.ts';

const RADIANS = Math.PI / 180;
const DEGREES = 180 / Math.PI;

const sin = (degrees: number): number => Math.sin(degrees * RADIANS);
const cos = (degrees: number): number => Math.cos(degrees * RADIANS);

const hueOf = (a: number, b: number): number => {
  const hue = Math.atan2(b, a) * DEGREES;
  return hue < 0 ? hue + 360 : hue;
};

/** √(c⁷ / (c⁷ + 25⁷)): 0 for greys, towards 1 for vivid colours. */
const vividness = (chroma: number): number => Math.sqrt(chroma ** 7 / (chroma ** 7 + 25 ** 7));

/**
 * CIEDE2000 between two L*a*b* colours; 1 is about just noticeable side by side, black to white is 100. Symmetric.
 * G. Sharma, W. Wu, E. N. Dalal, The CIEDE2000 color-difference formula: implementation notes, supplementary test
 * data, and mathematical observations, Color Res. Appl. 30(1) 21–30, 2005, equations 2 to 22 with all weights 1.
 */
export const ciede2000 = ([l1, a1, b1]: Triple, [l2, a2, b2]: Triple): number => {
  const g = 1.5 - 0.5 * vividness((Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2);
  const c1 = Math.hypot(a1 * g, b1);
  const c2 = Math.hypot(a2 * g, b2);
  const h1 = hueOf(a1 * g, b1);
  const h2 = hueOf(a2 * g, b2);
  const turn = hueStep(h1, h2, c1 * c2);
  const hue = meanHue(h1, h2, c1 * c2);
  const light = (l1 + l2) / 2;
  const chroma = (c1 + c2) / 2;
  const t = 1 - 0.17 * cos(hue - 30) + 0.24 * cos(2 * hue) + 0.32 * cos(3 * hue + 6) - 0.2 * cos(4 * hue - 63);
  const off = (light - 50) ** 2;
  const dl = (l2 - l1) / (1 + (0.015 * off) / Math.sqrt(20 + off));
  const dc = (c2 - c1) / (1 + 0.045 * chroma);
  const dh = (2 * Math.sqrt(c1 * c2) * sin(turn / 2)) / (1 + 0.015 * chroma * t);
  const rotation = -sin(60 * Math.exp(-(((hue - 275) / 25) ** 2))) * 2 * vividness(chroma);
  return Math.sqrt(dl * dl + dc * dc + dh * dh + rotation * dc * dh);
};

/** From one hue to the other the short way round, in degrees; 0 where one colour is grey. */
const hueStep = (h1: number, h2: number, chromas: number): number => {
  if (chromas === 0) return 0;
  const step = h2 - h1;
  if (step > 180) return step - 360;
  return step < -180 ? step + 360 : step;
};

/** The hue halfway along the shorter arc; a grey takes the other's hue. */
const meanHue = (h1: number, h2: number, chromas: number): number => {
  const sum = h1 + h2;
  if (chromas === 0) return sum;
  if (Math.abs(h1 - h2) <= 180) return sum / 2;
  return sum < 360 ? (sum + 360) / 2 : (sum - 360) / 2;
};

/** CIEDE2000 between two linear RGB colours of a space, seen against its white. */
export const differenceOf = (one: Triple, other: Triple, space: Space): number =>
  ciede2000(rgbToLab(one, space), rgbToLab(other, space));

/** ΔEOK between two linear RGB colours of a space: the straight distance in OKLab; 0.02 is about just noticeable. */
export const okDifferenceOf = (one: Triple, other: Triple, space: Space): number => {
  const pair = Float64Array.of(...one, ...other);
  rgbToOklab(pair, 0, space, pair, 0);
  rgbToOklab(pair, 3, space, pair, 3);
  return labDistance(pair, 0, pair, 3);
};
