import type { BlockGrid } from '../../plane/block-grid.ts';
import { median } from '../../plane/robust.ts';
import { blockPlaces } from './block-places.ts';
import { type CornerGlow, cornerGlows } from './corner-glow.ts';
import { type BlockField, edgeShadow } from './edge-shadow.ts';
import { blockPoints, fitSurface, type SurfaceFit, termCount } from './fit.ts';
import { fitShade } from './fit-shade.ts';
import { pixelNoise } from './pixel-noise.ts';
import { type Marks, type Reject, type RobustFitter, robustFitter } from './robust-fit.ts';
import { withZeroMean } from './surface.ts';
import { correlatedScatter, jackknife, jackknifeCells, reachOf } from './uncertainty.ts';

export const ORDERS = [1, 2, 3, 4] as const;
export type Order = (typeof ORDERS)[number];

/** An error of a surface below this many times the noise of a pixel is invisible. (A bound of our own.) */
export const CERTAIN = 0.5;

/** A surface of one order and its standard error, root mean square over the frame, in units of the values. */
export interface OrderUncertainty {
  readonly order: Order;
  /** Infinite where it cannot be known. */
  readonly uncertainty: number;
}

/** What is asked of a background surface. */
export interface SurfaceWish {
  /** The most certain one where absent. */
  readonly order?: Order | undefined;
  readonly reject: Reject;
  /** Whether the shadow of something at an edge is looked for. */
  readonly shadows: boolean;
  /** Whether it is taken off with the surface where the surface beside it is certain. */
  readonly removeShadows: boolean;
}

/** A dark region at an edge of the frame. */
export interface EdgeShadow {
  /** By block, 1 for those in it. */
  readonly blocks: Marks;
  /** How far its darkest block lies below the surface. */
  readonly depth: number;
  /**
   * `removed`: part of the surface that is taken off; `kept`: left in the picture, and out of the fit; `doubtful`: the
   * surface beside it is too uncertain to tell a shadow from sky beside nebula, so nothing was done.
   */
  readonly what: 'removed' | 'kept' | 'doubtful';
}

/** A fitted surface and all that speaks for and against it. Figures are in units of the values. */
export interface Assessment {
  readonly fit: SurfaceFit;
  readonly pixelNoise: number;
  readonly uncertainty: number;
  /** All orders that the blocks can carry. */
  readonly orders: readonly OrderUncertainty[];
  /** The order of the least uncertainty, the lower of equals. */
  readonly best: OrderUncertainty;
  /** How far blocks used vary together with their neighbours about the surface. */
  readonly correlated: number;
  /** Root mean square over the frame of what the polynomial takes off. */
  readonly reach: number;
  readonly shadow?: EdgeShadow;
  readonly glows: readonly CornerGlow[];
}

/**
 * Fits a background surface to the levels of blocks, and says how certain it is.
 * @param grid at least `2 · termCount(order)` blocks, order 1 where none is wished
 */
export const assessSurface = (grid: BlockGrid, wish: SurfaceWish): Assessment => {
  const noise = pixelNoise(grid);
  const points = blockPoints(grid);
  // The median of n normal values scatters by √(π/2)·σ/√n.
  const levelNoise = (Math.sqrt(Math.PI / 2) * noise) / Math.sqrt(median(grid.blocks.map(({ count }) => count)));
  const field = { points, places: blockPlaces(grid), pixelNoise: noise, levelNoise };
  const fitters = ORDERS.filter((order) => 2 * termCount(order) <= points.length).map((o) => robustFitter(points, o));
  const all = new Uint8Array(points.length).fill(1);
  const region = wish.shadows && noise > 0 ? edgeShadow(field, wish.reject) : undefined;
  if (region === undefined) return surfaceOver(field, fitters, all, wish);
  const beside = surfaceOver(
    field,
    fitters,
    region.map((is) => 1 - is),
    wish,
  );
  const sure = Math.max(beside.uncertainty, beside.correlated) <= CERTAIN * noise;
  const found = sure ? beside : surfaceOver(field, fitters, all, wish);
  const shade = fitShade(grid, points, field.places, region, { at: found.at });
  const depth = -shade.values.reduce((a, b) => Math.min(a, b));
  const what = sure ? (wish.removeShadows ? 'removed' : 'kept') : 'doubtful';
  const { fit } = found;
  return {
    ...found,
    ...(what === 'removed' && { fit: { ...fit, surface: { ...fit.surface, shade } } }),
    shadow: { blocks: region, depth, what },
  };
};

/** The wished or the most certain surface over the blocks of `start`. */
const surfaceOver = (field: BlockField, fitters: readonly RobustFitter[], start: Marks, wish: SurfaceWish) => {
  const { points, places, pixelNoise } = field;
  const cells = jackknifeCells(places, start);
  const orders = fitters.map((fitter) => ({
    order: fitter.order as Order,
    uncertainty: jackknife(fitter, cells, wish.reject),
  }));
  const best = orders.reduce((a, b) => (b.uncertainty < a.uncertainty ? b : a));
  const chosen = orders.find(({ order }) => order === wish.order) ?? best;
  const robust = fitters.find(({ order }) => order === chosen.order)!.fit(start, wish.reject);
  const fit = fitSurface(points, chosen.order, wish.reject, robust.used);
  const lowest = fitters[0]!.fit(start, wish.reject);
  return {
    fit: { ...fit, surface: { ...withZeroMean(fit.surface), ...known(chosen.uncertainty) } },
    at: robust.at,
    pixelNoise,
    uncertainty: chosen.uncertainty,
    orders,
    best,
    correlated: correlatedScatter(points, places, robust),
    reach: reachOf(robust),
    glows: cornerGlows(field, lowest),
  };
};

/** Infinity has no place in JSON. */
const known = (uncertainty: number) => (Number.isFinite(uncertainty) ? { uncertainty } : {});
