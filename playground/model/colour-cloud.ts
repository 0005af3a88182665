import { rgbToOklab } from '../../lib/colour/oklab.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import type { ScreenPicture } from '../../lib/web/screen.ts';

/** Pixels of a picture that are looked at: enough for a plot, few enough to follow the hand. */
const MOST = 120_000;

/** Colours of some pixels of a picture as it is on screen, evenly spread, in OKLab: L, a and b after each other. */
export type ColourCloud = Float32Array;

const lights = new Map<ScreenPicture['space'], Float32Array>();

const lightOf = (space: ScreenPicture['space']): Float32Array => {
  const known = lights.get(space);
  if (known !== undefined) return known;
  const { decode } = SPACES[space].display;
  const made = Float32Array.from({ length: 256 }, (_, code) => decode(code / 255));
  lights.set(space, made);
  return made;
};

/** Pixels without data are left out. */
export const cloudOf = ({ data, space }: Pick<ScreenPicture, 'data' | 'space'>): ColourCloud => {
  const pixels = data.length / 4;
  // Not a divisor of any usual width, so that the pixels do not stand in columns.
  const stride = pixels > MOST ? Math.ceil(pixels / MOST) | 1 : 1;
  const light = lightOf(space);
  const cloud = new Float32Array(3 * Math.ceil(pixels / stride));
  const rgb = new Float64Array(3);
  let to = 0;
  for (let i = 0; i < pixels; i += stride) {
    if (data[4 * i + 3] === 0) continue;
    for (let b = 0; b < 3; b++) rgb[b] = light[data[4 * i + b]!]!;
    rgbToOklab(rgb, 0, SPACES[space], rgb, 0);
    cloud.set(rgb, to);
    to += 3;
  }
  return cloud.subarray(0, to);
};

/** How many colours have each lightness 0…1. */
export const lightnessCounts = (cloud: ColourCloud, bins: number): Float64Array => {
  const counts = new Float64Array(bins);
  for (let i = 0; i < cloud.length; i += 3) counts[Math.min(bins - 1, Math.floor(cloud[i]! * bins))]!++;
  return counts;
};

/** Chroma that every hue has in all, by hue from 0 to 360°: greys count for nothing. */
export const hueSums = (cloud: ColourCloud, bins: number): Float64Array => {
  const sums = new Float64Array(bins);
  for (let i = 0; i < cloud.length; i += 3) {
    const [a, b] = [cloud[i + 1]!, cloud[i + 2]!];
    const turn = Math.atan2(b, a) / (2 * Math.PI);
    sums[Math.floor((turn - Math.floor(turn)) * bins) % bins]! += Math.hypot(a, b);
  }
  return sums;
};
