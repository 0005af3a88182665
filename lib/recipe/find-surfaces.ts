import type { Channel } from '../measure/measure.ts';
import type { Block, BlockGrid } from '../plane/block-grid.ts';
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
  /** How much of the frame (of what holds data, where no boxes say where to look) lies between the blocks used, 0 to 1. */
  readonly span: Span;
}

interface Span {
  readonly width: number;
  readonly height: number;
}

/** A surface that rests on less of the frame than this, in either direction, is guessed elsewhere. (A bound of our own.) */
const LEAST_SPAN = 1 / 3;

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
      'draw more or larger boxes, lower the order, or use "model": "level"',
      source.file,
    );
  const fit = fitBlocks(grid, order, wish.reject ?? 'bright');
  const whole = wish.include === undefined ? extent(grid.blocks, grid.size) : grid;
  const used = extent(
    grid.blocks.filter((_, k) => fit.used[k]),
    grid.size,
  );
  const span = { width: Math.min(1, used.width / whole.width), height: Math.min(1, used.height / whole.height) };
  return { grid, fit, pixelNoise: pixelNoise(grid), span };
};

/** Width and height in pixels from the first to the last block, both included. */
const extent = (blocks: readonly Block[], size: number): Span => {
  const range = (values: readonly number[]) => Math.max(...values) - Math.min(...values) + size;
  return { width: range(blocks.map(({ x }) => x)), height: range(blocks.map(({ y }) => y)) };
};

/** What speaks against a surface: it is guessed over much of the frame, or follows something else than the sky. */
export const surfaceWarning = (channel: Channel, found: FoundSurface): string[] => [
  ...spanWarning(channel, found),
  ...scatterWarning(channel, found),
];

const spanWarning = ({ name, source }: Channel, { span }: FoundSurface): string[] => {
  if (Math.min(span.width, span.height) >= LEAST_SPAN) return [];
  const percent = (share: number) => Math.round(100 * share);
  return [
    `${name} (${source.file}): the sky that the background surface rests on spans ${percent(span.width)} × ` +
      `${percent(span.height)} % of the frame, elsewhere it is a guess; draw boxes of sky all over, or lower the order`,
  ];
};

/** What is left between the blocks used is more than noise. */
const scatterWarning = ({ name, source }: Channel, { fit, grid, pixelNoise }: FoundSurface): string[] => {
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
