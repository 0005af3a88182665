import { median } from '../../plane/robust.ts';
import { theilSen } from '../scale/huber-line.ts';
import { type ProductBlock, pairIndex, type Scale } from './block-products.ts';
import { STARLET_NOISE } from './starlet.ts';

/** This share of the blocks, those in which the masters have least in common, is quiet. */
const QUIET = 0.25;
/** In a small picture more than that share: fewer blocks would say too little. */
const FEWEST = 24;
/** A master that shows more or less than so many times the detail of another is no matter of blur. */
const MOST_TRANSFER = 4;
/** Blocks from which that is found. */
const SPREAD = 256;

/**
 * The blocks that show least: those with the smallest sum over pairs of masters of |mean product| at starlet scales 2 and 4,
 * each master brought to one scale.
 */
export const quietBlocks = (blocks: readonly ProductBlock[], scales: readonly number[]): ProductBlock[] =>
  quietFirst(blocks, scales).slice(0, quietCount(blocks));

const quietCount = ({ length }: readonly ProductBlock[]): number => Math.max(Math.ceil(QUIET * length), FEWEST);

const quietFirst = (blocks: readonly ProductBlock[], scales: readonly number[]): ProductBlock[] => {
  const shown = ({ products }: ProductBlock): number => {
    let sum = 0;
    for (let i = 0; i < scales.length; i++)
      for (let j = 0; j < i; j++) {
        const at = pairIndex(i, j);
        sum += Math.abs(scales[i]! * scales[j]!) * (Math.abs(products[4][at]!) + Math.abs(products[2][at]!));
      }
    return sum;
  };
  return blocks
    .map((block) => ({ block, shown: shown(block) }))
    .sort((a, b) => a.shown - b.shown)
    .map(({ block }) => block);
};

/**
 * Noise of one master at a starlet scale, as the deviation that white noise of that strength would have in a pixel: what
 * all masters share cancels in w(w − βw′), so its mean is the variance of this master's noise alone. Median over quiet
 * blocks, then over the other masters; 0 where that is negative.
 * Source: F. E. Grubbs 1948, "On estimating precision of measuring instruments and product variability", J. Am. Stat.
 * Ass. 43:243, with β = 1; here β is how much more of such detail this master shows, see `transfer`.
 */
const grubbs = (
  { quiet, spread }: { readonly quiet: readonly ProductBlock[]; readonly spread: readonly ProductBlock[] },
  scales: readonly number[],
  i: number,
  scale: Scale,
): number => {
  const own = scales[i]!;
  const same = ({ products }: ProductBlock) => own * own * products[scale][pairIndex(i, i)]!;
  const variances = scales.flatMap((other, j) => {
    if (j === i) return [];
    const cross = ({ products }: ProductBlock) => own * other * products[scale][pairIndex(i, j)]!;
    const beta = transfer(spread.map(cross), spread.map(same));
    return [median(quiet.map((block) => same(block) - beta * cross(block)))];
  });
  return Math.sqrt(Math.max(0, median(variances))) / STARLET_NOISE[scale - 1]!;
};

/**
 * How much more of the detail of a scale one master shows than another, because it is sharper or because its scale is not
 * quite known: over blocks ⟨ww⟩ is β⟨ww′⟩ and its noise, a line.
 */
const transfer = (cross: readonly number[], same: readonly number[]): number => {
  const { slope } = theilSen(cross, same);
  return slope > 1 / MOST_TRANSFER && slope < MOST_TRANSFER ? slope : 1;
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
  const byLight = quietFirst(blocks, scales);
  const quiet = byLight.slice(0, quietCount(blocks));
  const step = Math.ceil(blocks.length / SPREAD);
  const spread = byLight.filter((_, k) => k % step === 0);
  return scales.map((own, i) => {
    const least = Math.abs(own) * pixel[i]!;
    if (quiet.length === 0) return least;
    const [fine, coarse] = ([2, 3] as const).map((scale) =>
      Math.max(least || 0, grubbs({ quiet, spread }, scales, i, scale)),
    );
    return Math.sqrt((fine! ** 2 + coarse! ** 2) / 2);
  });
};

/**
 * What stands for noise where masters share some, so that no comparison can tell it: all detail in quiet blocks, light
 * included. Masters of one field then weigh about the same.
 */
export const sharedDetail = (blocks: readonly ProductBlock[], scales: readonly number[]): number[] => {
  const quiet = quietBlocks(blocks, scales);
  return scales.map((own, i) => {
    const at = pairIndex(i, i);
    const power = ([2, 3] as const).map(
      (scale) => median(quiet.map(({ products }) => products[scale][at]!)) / STARLET_NOISE[scale - 1]! ** 2,
    );
    return Math.abs(own) * Math.sqrt((power[0]! + power[1]!) / 2);
  });
};
