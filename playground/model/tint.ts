import { SPACES } from '../../lib/colour/spaces.ts';
import type { Recipe, StarsWish } from '../../lib/recipe/written/schema.ts';
import { hexOf } from './colour-text.ts';

const WHITE = '#ffffff';

/**
 * The tint of stars for a field of colours, which knows display values alone.
 * @param plain the mix on screen, which has every colour as linear light
 */
export const tintHex = (tint: StarsWish['tint'], plain: Recipe | undefined): string => {
  if (tint === undefined) return WHITE;
  if (typeof tint === 'string' && /^#[\da-f]{6}$/i.test(tint)) return tint.toLowerCase();
  const light = typeof tint === 'string' ? plain?.stars?.tint : tint;
  if (light === undefined) return WHITE;
  const [red, green, blue] = light.map((value) => 255 * Math.min(1, Math.max(0, SPACES.srgb.encode(value))));
  return hexOf([red!, green!, blue!]);
};
