import type { PixelMap } from './gamut/method.ts';

/**
 * Brings a colour brighter than the range back by dividing it by its largest channel: ratios, and so the hue, stay.
 * Colours with no channel above 1, and those with a NaN, stay bit for bit. An infinite channel becomes 1, the others 0.
 */
const keepRatio: PixelMap = (rgb, at) => {
  const r = rgb[at]!;
  const g = rgb[at + 1]!;
  const b = rgb[at + 2]!;
  const most = Math.max(r, g, b);
  if (!(most > 1)) return;
  if (most === Number.POSITIVE_INFINITY) {
    for (let i = at; i < at + 3; i++) rgb[i] = rgb[i] === most ? 1 : 0;
    return;
  }
  rgb[at] = r / most;
  rgb[at + 1] = g / most;
  rgb[at + 2] = b / most;
};

/** Cuts each channel at 1 on its own, so hues shift; values below 0 are left to the gamut method. NaN stays NaN. */
const cut: PixelMap = (rgb, at) => {
  rgb[at] = Math.min(rgb[at]!, 1);
  rgb[at + 1] = Math.min(rgb[at + 1]!, 1);
  rgb[at + 2] = Math.min(rgb[at + 2]!, 1);
};

/** What happens to colours brighter than the range, by the name a recipe gives it; all work in place. */
export const HIGHLIGHTS = { ratio: keepRatio, clip: cut } as const satisfies Record<string, PixelMap>;
