import type { Space } from '../space.ts';

/** Changes the linear-light colour rgb[at … at + 2] of `space` in place. */
export type PixelMap = (rgb: Float64Array, at: number, space: Space) => void;

/** A way to bring colours that a space cannot show to ones that it can. */
export interface GamutMethod {
  readonly name: string;
  /** One sentence for the reference page and the page's menu. */
  readonly about: string;
  /** After it every channel is in [0, 1]; a colour that was there already stays bit for bit. */
  readonly map: PixelMap;
}

/** True where every channel is in [0, 1]; false where any is NaN. */
export const inGamut = (rgb: Float64Array, at: number): boolean => {
  const r = rgb[at]!;
  const g = rgb[at + 1]!;
  const b = rgb[at + 2]!;
  return r >= 0 && r <= 1 && g >= 0 && g <= 1 && b >= 0 && b <= 1;
};

/** Sets all three channels. */
export const setGrey = (rgb: Float64Array, at: number, value: number): void => {
  rgb[at] = value;
  rgb[at + 1] = value;
  rgb[at + 2] = value;
};

/**
 * Colours that leave [0, 1] by no more than this are clipped. Rounding of the matrices moves in-gamut colours by about
 * 1e-16; the tolerance lies far above that and far below one step of a 16-bit file (1.5e-5, at the dark end of sRGB
 * 1.2e-6 of light), so it never shows, and greys that rounding pushed past white do not take the long way round.
 */
const TOLERANCE = 1e-9;

/** True where no channel leaves [0, 1] by more than rounding does; false where any is NaN. */
export const nearGamut = (rgb: Float64Array, at: number): boolean =>
  isNear(rgb[at]!) && isNear(rgb[at + 1]!) && isNear(rgb[at + 2]!);

const isNear = (value: number): boolean => value >= -TOLERANCE && value <= 1 + TOLERANCE;
