import type { Space } from '../colour/space.ts';
import type { Triple } from '../plane/linear.ts';

/** How stars are made neutral. */
export interface Neutral {
  /** 0…1: how far the colour of stars is moved. */
  readonly amount: number;
  /** The colour that stars get, linear light of the space, largest 1. */
  readonly tint: Triple;
}

/**
 * The colour of a pixel whose stars are neutral: what lies under them, with as much white (or tint) added as gives it the
 * luminance that the mix with stars has; darkened where that is less. The luminance is that of the mix, whatever its weights
 * and curves.
 * @param mix linear light with stars, 0…1; changed in place
 * @param under the same without stars
 * @param share 0…1: how much of the pixel belongs to stars
 */
export const neutralize = (
  mix: Float64Array,
  under: Float64Array,
  share: number,
  { amount, tint }: Neutral,
  { luminance }: Pick<Space, 'luminance'>,
): void => {
  const [r, g, b] = luminance;
  const lightOf = (rgb: ArrayLike<number>) => r * rgb[0]! + g * rgb[1]! + b * rgb[2]!;
  const [wish, below] = [lightOf(mix), lightOf(under)];
  const whole = lightOf(tint);
  // Brighter than the tint itself goes on from it to white.
  const white = wish > whole && wish > below;
  const from = white && whole > below ? tint : under;
  const to = white ? WHITE : tint;
  const [start, end] = [lightOf(from), lightOf(to)];
  const darker = wish < below;
  const part = darker ? wish / below : end > start ? Math.min(1, (wish - start) / (end - start)) : 0;
  const moved = amount * share;
  for (let c = 0; c < 3; c++) {
    const neutral = darker ? part * under[c]! : from[c]! + part * (to[c]! - from[c]!);
    mix[c]! += moved * (neutral - mix[c]!);
  }
};

const WHITE: Triple = [1, 1, 1];
