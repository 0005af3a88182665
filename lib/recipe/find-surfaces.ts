import type { Channel } from '../measure/measure.ts';
import type { BlockGrid } from '../plane/block-grid.ts';
import { boxOf } from '../plane/box.ts';
import { inputError } from '../plane/errors.ts';
import type { StripOptions } from '../plane/strips.ts';
import { measureBlocks } from '../prepare/background/blocks.ts';
import { fitBlocks, type SurfaceFit, termCount } from '../prepare/background/fit.ts';
import { pixelNoise } from '../prepare/background/pixel-noise.ts';
import { withZeroMean } from '../prepare/background/surface.ts';
import type { BackgroundWish, Recipe } from './schema.ts';
import type { Notes } from './settle-channels.ts';

/** Order of a surface unless the recipe says otherwise. */
const DEFAULT_ORDER = 2;

/** A fitted surface with what it rests on. */
export interface FoundSurface {
  readonly grid: BlockGrid;
  readonly fit: SurfaceFit;
  /** Noise from one pixel to the next. */
  readonly pixelNoise: number;
}

/**
 * Fits the surface that a recipe's background asks for to one channel.
 * @throws LinewashError 'input' where too few blocks hold data.
 */
export const fitChannelSurface = async (
  { source }: Channel,
  wish: BackgroundWish,
  options: StripOptions = {},
): Promise<FoundSurface> => {
  const grid = await measureBlocks(source, {
    ...options,
    include: wish.include?.map(boxOf),
    exclude: wish.exclude?.map(boxOf),
  });
  const order = wish.order ?? DEFAULT_ORDER;
  if (grid.blocks.length === 0)
    throw inputError(
      'no pixel has data where the background is looked for',
      'check the boxes, and that the master is not empty',
      source.file,
    );
  const needed = 2 * termCount(order);
  if (grid.blocks.length < needed)
    throw inputError(
      `a background surface of order ${order} needs ${needed} blocks of sky, ${grid.blocks.length} hold data`,
      'lower the order, draw larger boxes, or use "model": "level"',
      source.file,
    );
  return { grid, fit: fitBlocks(grid, order, wish.reject ?? 'bright'), pixelNoise: pixelNoise(grid) };
};

/** Whether what is left between the blocks used is more than noise: the surface then follows something else too. */
export const surfaceWarning = ({ name, source }: Channel, { fit, grid, pixelNoise }: FoundSurface): string[] => {
  if (!(fit.rms > pixelNoise)) return [];
  const used = fit.used.filter(Boolean).length;
  const figure = (v: number) => Number(v.toPrecision(3));
  return [
    `${name} (${source.file}): the sky blocks scatter by ${figure(fit.rms)} about the background surface, noise by ` +
      `${figure(pixelNoise)} (${used} of ${grid.blocks.length} blocks used): it may follow the nebula; draw boxes in the ` +
      'sky ("include") or over the nebula ("exclude"), or lower the order',
  ];
};

/** Finds the surfaces of all channels where the recipe asks for them. */
export const findSurfaces = async (
  recipe: Recipe,
  channels: readonly Channel[],
  notes: Notes,
  options: StripOptions,
): Promise<void> => {
  const wish = recipe.background;
  if (wish?.model !== 'surface') return;
  for (const channel of channels) {
    const given = wish.coefficients?.[channel.name] ?? wish.coefficients?.['*'];
    if (given !== undefined) {
      notes.add(channel.name, { surface: { order: wish.order ?? DEFAULT_ORDER, coefficients: given } });
      continue;
    }
    const found = await fitChannelSurface(channel, wish, options);
    notes.add(channel.name, { surface: withZeroMean(found.fit.surface) });
    notes.warnings.push(...surfaceWarning(channel, found));
  }
};
