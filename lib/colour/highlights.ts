import { clip } from './gamut/clip.ts';
import type { PixelMap } from './gamut/method.ts';

/**
 * Brings a colour brighter than the range back by dividing it by its largest channel: ratios, and so the hue, stay.
 * Colours with no channel above 1 stay bit for bit. An infinite channel becomes 1 and drives finite ones to about 0;
 * NaN channels stay NaN.
 */
const keepRatio: PixelMap = (rgb, at) => {
  const r = rgb[at]!;
  const g = rgb[at + 1]!;
  const b = rgb[at + 2]!;
  let most = r > g ? r : g;
  // Written so that a NaN on the left does not hide a channel above 1.
  if (!(most >= b)) most = b;
  if (!(most > 1)) return;
  if (most === Number.POSITIVE_INFINITY) {
    keepInfinite(rgb, at);
    return;
  }
  rgb[at] = r / most;
  rgb[at + 1] = g / most;
  rgb[at + 2] = b / most;
};

const keepInfinite = (rgb: Float64Array, at: number): void => {
  for (let i = at; i < at + 3; i++) rgb[i] = rgb[i] === Number.POSITIVE_INFINITY ? 1 : rgb[i]! / Number.MAX_VALUE;
};

/** What happens to colours brighter than the range, by the name a recipe gives it; all work in place. */
export const HIGHLIGHTS = { ratio: keepRatio, clip: clip.map } as const satisfies Record<string, PixelMap>;

export type HighlightsName = keyof typeof HIGHLIGHTS;
