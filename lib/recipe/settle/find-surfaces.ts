import type { Channel } from '../../measure/measure.ts';
import type { Block, BlockGrid } from '../../plane/block-grid.ts';
import { boxOf } from '../../plane/box.ts';
import { inputError } from '../../plane/errors.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { type Assessment, assessSurface } from '../../prepare/background/assess.ts';
import { measureBlocks } from '../../prepare/background/blocks.ts';
import { orderOf, termCount } from '../../prepare/background/fit.ts';
import type { Surface } from '../../prepare/background/surface.ts';
import type { BackgroundWish, Recipe } from '../written/schema.ts';
import type { FoundSurface, Span } from './found-surface.ts';
import type { Notes } from './notes.ts';
import { surfaceWarning } from './surface-warnings.ts';

/**
 * Fits the surface that a recipe's background asks for to one channel: of its order, or of the most certain one.
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
  const least = wish.order ?? 1;
  if (grid.blocks.length === 0)
    throw inputError(
      'no pixel has data where the background is looked for',
      'check the boxes, and that the master is not empty',
      source.file,
    );
  const needed = 2 * termCount(least);
  if (grid.blocks.length < needed)
    throw inputError(
      `a background surface of order ${least} needs ${needed} blocks of sky, ${grid.blocks.length} hold data`,
      'draw more or larger boxes of sky, lower the order, or take off a level instead of a surface',
      source.file,
    );
  const found = assessSurface(grid, {
    order: wish.order,
    reject: wish.reject ?? 'bright',
    // Whoever says where the sky is has left shadows out.
    shadows: wish.include === undefined,
    removeShadows: wish.shadows !== 'keep',
  });
  return { ...found, grid, span: spanOf(grid, found, wish) };
};

const spanOf = (grid: BlockGrid, { fit }: Assessment, { include }: BackgroundWish): Span => {
  const whole = include === undefined ? extent(grid.blocks, grid.size) : grid;
  const used = extent(
    grid.blocks.filter((_, k) => fit.used[k]),
    grid.size,
  );
  return { width: Math.min(1, used.width / whole.width), height: Math.min(1, used.height / whole.height) };
};

/** Width and height in pixels from the first to the last block, both included. */
const extent = (blocks: readonly Block[], size: number): Span => {
  const range = (values: readonly number[]) => Math.max(...values) - Math.min(...values) + size;
  return { width: range(blocks.map(({ x }) => x)), height: range(blocks.map(({ y }) => y)) };
};

/** The surface that a recipe states for a channel; undefined where it is to be fitted. */
const statedSurface = (name: string, { surfaces, coefficients }: BackgroundWish): Surface | undefined => {
  const whole = surfaces?.[name] ?? surfaces?.['*'];
  if (whole !== undefined) return whole;
  const numbers = coefficients?.[name] ?? coefficients?.['*'];
  return numbers && { order: orderOf(numbers.length)!, coefficients: numbers };
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
    const stated = statedSurface(channel.name, wish);
    if (stated !== undefined) {
      notes.add(channel.name, { surface: stated });
      continue;
    }
    const found = await fitChannelSurface(channel, wish, options);
    notes.add(channel.name, { surface: found.fit.surface });
    notes.warnings.push(...surfaceWarning(channel, found));
  }
};
