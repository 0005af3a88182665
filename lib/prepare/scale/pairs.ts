import type { BlockGrid } from '../../plane/block-grid.ts';

/** Levels of the blocks that two pictures share. */
export interface PairedLevels {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Mean number of pixels looked at in a block. */
  readonly looked: number;
}

/** Pairs the blocks of two grids of one size that lie on the same pixels, to within half a pixel. */
export const pairedLevels = (a: BlockGrid, b: BlockGrid): PairedLevels => {
  const key = ({ x, y }: { x: number; y: number }) => Math.floor(x / a.size) + Math.floor(y / a.size) * a.width;
  const others = new Map(b.blocks.map((block) => [key(block), block]));
  const pairs = a.blocks.flatMap((block) => {
    const other = others.get(key(block));
    const same = other !== undefined && Math.abs(other.x - block.x) < 0.5 && Math.abs(other.y - block.y) < 0.5;
    return same ? [[block, other] as const] : [];
  });
  return {
    x: Float64Array.from(pairs, ([block]) => block.level),
    y: Float64Array.from(pairs, ([, other]) => other.level),
    looked: pairs.reduce((sum, [{ count }]) => sum + count, 0) / Math.max(1, pairs.length),
  };
};

/** Pearson's correlation; 0 where one of the two does not vary. */
export const correlation = (x: ArrayLike<number>, y: ArrayLike<number>): number => {
  const n = x.length;
  let mx = 0;
  let my = 0;
  for (let i = 0; i < n; i++) {
    mx += x[i]! / n;
    my += y[i]! / n;
  }
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  for (let i = 0; i < n; i++) {
    sxx += (x[i]! - mx) ** 2;
    sxy += (x[i]! - mx) * (y[i]! - my);
    syy += (y[i]! - my) ** 2;
  }
  return sxx > 0 && syy > 0 ? sxy / Math.sqrt(sxx * syy) : 0;
};
