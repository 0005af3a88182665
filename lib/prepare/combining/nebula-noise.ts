import { median } from '../../plane/robust.ts';
import { pairIndex, type ProductBlock, type Scale } from './block-products.ts';
import { STARLET_NOISE } from './starlet.ts';

/** This share of the blocks, those in which the masters have least in common, is quiet. */
const QUIET = 0.25;
/** In a small picture more than that share: fewer blocks would say too little. */
const FEWEST = 8;

/**
 * The blocks that show least: those with the smallest sum over pairs of masters of |mean product| at starlet scales 2 and 4,
 * each master brought to one scale.
 */
export const quietBlocks = (blocks: readonly ProductBlock[], scales: readonly number[]): ProductBlock[] => {
  const shown = ({ products }: ProductBlock): number => {
    let sum = 0;
    for (let i = 0; i < scales.length; i++)
      for (let j = 0; j < i; j++) {
        const at = pairIndex(i, j);
        sum += Math.abs(scales[i]! * scales[j]!) * (Math.abs(products[4][at]!) + Math.abs(products[2][at]!));
      }
    return sum;
  };
  const count = Math.max(Math.ceil(QUIET * blocks.length), FEWEST);
  return blocks
    .map((block) => ({ block, shown: shown(block) }))
    .sort((a, b) => a.shown - b.shown)
    .slice(0, count)
    .map(({ block }) => block);
};

/**
 * Noise of one master at a starlet scale, as the deviation that white noise of that strength would have in a pixel: what
 * all masters share cancels in w(w − w′), so its mean is the variance of this master's noise alone. Median over blocks,
 * then over the other masters; 0 where that is negative.
 * Source: F. E. Grubbs 1948, "On estimating precision of measuring instruments and product variability", J. Am. Stat.
 * Ass. 43:243.
 */
const grubbs = (blocks: readonly ProductBlock[], scales: readonly number[], i: number, scale: Scale): number => {
  const own = scales[i]!;
  const variances = scales.flatMap((other, j) => {
    if (j === i) return [];
    const [same, cross] = [pairIndex(i, i), pairIndex(i, j)];
    return [median(blocks.map(({ products: { [scale]: p } }) => own * (own * p[same]! - other * p[cross]!)))];
  });
  return Math.sqrt(Math.max(0, median(variances))) / STARLET_NOISE[scale - 1]!;
};

/**
 * Noise of each master at the scales of nebula, of starlet scales 2 and 3 in quiet blocks, in units of the first master:
 * what resampling hides from neighbouring pixels counts here. Never below the noise from pixel to pixel.
 * @param pixel noise from pixel to pixel, each in its own units
 */
export const nebulaNoise = (
  blocks: readonly ProductBlock[],
  scales: readonly number[],
  pixel: readonly number[],
): number[] => {
  const quiet = quietBlocks(blocks, scales);
  return scales.map((own, i) => {
    const least = Math.abs(own) * pixel[i]!;
    if (quiet.length === 0) return least;
    const [fine, coarse] = ([2, 3] as const).map((scale) => Math.max(least || 0, grubbs(quiet, scales, i, scale)));
    return Math.sqrt((fine! ** 2 + coarse! ** 2) / 2);
  });
};
