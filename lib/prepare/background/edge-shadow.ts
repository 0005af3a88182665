import { type BlockPlaces, dilated, groupsOf } from './block-places.ts';
import { leastAbsoluteResiduals, type Marks, type Reject, robustFitter, sigmaBelow } from './robust-fit.ts';
import type { SurfacePoint } from './surface.ts';

/** Blocks as points, where they lie in the grid, and what noise makes of their levels. */
export interface BlockField {
  readonly points: readonly SurfacePoint[];
  readonly places: BlockPlaces;
  /** Noise of one pixel, and of the level of a block. */
  readonly pixelNoise: number;
  readonly levelNoise: number;
}

/** A block is dark where it lies so many σ below. (This and the next four: bounds of our own.) */
const DEEP = 5;
/** A shadow holds so many dark blocks that touch. */
const FEWEST = 4;
/** Half-dark blocks around it: everything within so many steps belongs to it. */
const RIM = 3;
/** A shadow is a local thing: what covers more of the blocks is something else. */
const LARGEST = 0.25;
/** Surfaces about which dark blocks are looked for: of higher order they would follow the shadow. */
const ORDERS = [1, 2];
const MOST_ROUNDS = 5;

/** How far blocks lie above a surface, and the σ of those that are sky. */
interface Residuals {
  readonly residuals: Float64Array;
  readonly sigma: number;
}

/**
 * The blocks that lie in the shadow of something at an edge of the frame (a pick-off mirror of a guider, say), its rim
 * included; undefined for none. Dark blocks are looked for below three surfaces in turn: that of least absolute residuals,
 * which a shadow or nebula over less than half of the frame does not pull away, and those that reject bright blocks. What
 * is found counts where fits of both orders without it still see it.
 */
export const edgeShadow = (field: BlockField, reject: Reject): Marks | undefined => {
  const { points, levelNoise } = field;
  const fitters = ORDERS.map((order) => robustFitter(points, order));
  const fitted = (start: Marks): Residuals[] =>
    fitters.map((fitter) => {
      const { used, at } = fitter.fit(start, reject);
      const residuals = Float64Array.from(points, ({ u, v, value }) => value - at(u, v));
      const sky = residuals.filter((_, k) => used[k] === 1);
      return { residuals, sigma: Math.max(levelNoise, sigmaBelow(sky)) };
    });
  const balanced = leastAbsoluteResiduals(points, 2);
  const all = new Uint8Array(points.length).fill(1);
  const starts = [{ residuals: balanced, sigma: Math.max(levelNoise, sigmaBelow(balanced)) }, ...fitted(all)];
  for (const start of starts) {
    const found = settledRegion(darkRegion(field, start), (region) =>
      common(fitted(region.map((is) => 1 - is)).map((about) => darkRegion(field, about))),
    );
    if (found !== undefined) return found;
  }
  return undefined;
};

/** Looks again and again without what was found until the same is found. */
const settledRegion = (first: Marks | undefined, again: (region: Marks) => Marks | undefined): Marks | undefined => {
  let region = first;
  for (let round = 0; region !== undefined && round < MOST_ROUNDS; round++) {
    const next = again(region);
    if (next?.every((is, k) => is === region![k])) break;
    region = next;
  }
  return region;
};

/** Groups of dark blocks that touch an edge, with their rim. */
const darkRegion = ({ places }: BlockField, { residuals, sigma }: Residuals): Marks | undefined => {
  const dark = Uint8Array.from(residuals, (r) => Number(r < -DEEP * sigma));
  const groups = groupsOf(places, dark).filter((group) => group.length >= FEWEST && touchesEdge(places, group));
  if (groups.length === 0) return undefined;
  const core = new Uint8Array(dark.length);
  for (const group of groups) for (const k of group) core[k] = 1;
  const region = dilated(places, core, RIM);
  return region.reduce((a, b) => a + b, 0) > LARGEST * region.length ? undefined : region;
};

const common = (regions: readonly (Marks | undefined)[]): Marks | undefined => {
  const [first, ...others] = regions;
  const both = first?.map((is, k) => (others.every((other) => other?.[k] === 1) ? is : 0));
  return both?.includes(1) ? both : undefined;
};

/** Whether a group holds a block of the outermost column or row that has any. */
const touchesEdge = ({ column, row }: BlockPlaces, group: readonly number[]): boolean =>
  [column, row].some((positions) => {
    const low = positions.reduce((a, b) => Math.min(a, b));
    const high = positions.reduce((a, b) => Math.max(a, b));
    return group.some((k) => positions[k] === low || positions[k] === high);
  });
