import { ofStrengths } from '../../lib/recipe/settle/of-strengths.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { jsKernel } from '../../lib/render/js-kernel.ts';

/** A colour for the screen, 0…255. */
export type Swatch = readonly [red: number, green: number, blue: number];

/** The colour each line gets alone at full strength: through the kernel that makes the picture. */
export const swatches = (settled: Settled): Record<string, Swatch> => {
  const { channels } = settled;
  // A screen has no linear space; that of the same primaries shows the same colours.
  const plain: Settled = { ...ofStrengths(settled), space: settled.space === 'srgb-linear' ? 'srgb' : settled.space };
  const kernel = jsKernel(plain, { sample: 'u8', bands: 3 });
  // One pixel for each line, in which that line alone is at white.
  const inputs = channels.map((_, c) => Float32Array.from(channels, (_, pixel) => (pixel === c ? 1 : 0)));
  const out = new Uint8Array(3 * channels.length);
  kernel(inputs, channels.length, out);
  return Object.fromEntries(channels.map(({ name }, c) => [name, [out[3 * c]!, out[3 * c + 1]!, out[3 * c + 2]!]]));
};

export const cssColour = ([red, green, blue]: Swatch): string => `rgb(${red} ${green} ${blue})`;
