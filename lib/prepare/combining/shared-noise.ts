import { MAD_TO_SIGMA } from '../../plane/robust.ts';
import { upperMedian } from '../../plane/select.ts';
import { BLOCK, type ProductBlock } from './block-products.ts';

/** Pixels looked at for each pair. */
const LOOKS = 1 << 16;

/**
 * How much of their noise two masters share: the largest correlation of their Laplacians (1 −2 1; −2 4 −2; 1 −2 1), in which
 * smooth light leaves no trace, over shifts by −1, 0 and 1 pixel both ways. Independent masters give 0, copies 1, copies
 * that were resampled or got more noise something between. 0 where nothing can be compared.
 * @param blocks quiet ones, in which the noise is all there is
 */
export const sharedNoise = (blocks: readonly ProductBlock[], i: number, j: number): number => {
  const samples = laplacianSamples(blocks, i, j);
  const own = samples.own.slice();
  const scratch = new Float32Array(own.length);
  const spread = (values: Float32Array): number => MAD_TO_SIGMA * upperMedian(magnitudes(values, scratch));
  let most = 0;
  const unit = 1 / spread(own);
  for (const other of samples.others) {
    const [a, b] = [unit, 1 / spread(other)];
    const sum = spread(other.map((v, k) => b * v + a * own[k]!)) ** 2;
    const difference = spread(other.map((v, k) => b * v - a * own[k]!)) ** 2;
    // R. Gnanadesikan & J. R. Kettenring 1972, Biometrics 28:81.
    const correlation = (sum - difference) / (sum + difference);
    if (correlation > most) most = correlation;
  }
  return most;
};

const magnitudes = (values: Float32Array, into: Float32Array): Float32Array => {
  for (let k = 0; k < values.length; k++) into[k] = Math.abs(values[k]!);
  return into;
};

interface Samples {
  readonly own: Float32Array;
  /** Of the other master, one array for each of the nine shifts. */
  readonly others: readonly Float32Array[];
}

const SHIFTS = [-1, 0, 1];

/** Laplacians of both masters at pixels spread evenly over the blocks; pixels where one is undefined are left out. */
const laplacianSamples = (blocks: readonly ProductBlock[], i: number, j: number): Samples => {
  const each = BLOCK ** 2;
  // An odd step visits all columns of a block.
  const step = Math.ceil((blocks.length * each) / LOOKS) | 1;
  const most = blocks.length * Math.ceil(each / step);
  const own = new Float32Array(most);
  const others = Array.from({ length: 9 }, () => new Float32Array(most));
  let count = 0;
  for (const { patch, x, y } of blocks) {
    const { width } = patch;
    const [a, b] = [patch.planes[i]!, patch.planes[j]!];
    for (let k = 0; k < each; k += step) {
      // Two pixels from the sides of the picture: Laplacians of all shifts must fit.
      const column = Math.min(width - 3, Math.max(2, x + (k % BLOCK)));
      const at = (y + Math.floor(k / BLOCK)) * width + column;
      own[count] = laplacian(a, at, width);
      let known = own[count]!;
      for (const [s, other] of others.entries()) {
        other[count] = laplacian(b, at + SHIFTS[Math.floor(s / 3)]! * width + SHIFTS[s % 3]!, width);
        known += other[count]!;
      }
      if (known - known === 0) count++;
    }
  }
  return { own: own.subarray(0, count), others: others.map((other) => other.subarray(0, count)) };
};

const laplacian = (plane: Float32Array, at: number, width: number): number => {
  const [above, below] = [at - width, at + width];
  return (
    4 * plane[at]! -
    2 * (plane[above]! + plane[below]! + plane[at - 1]! + plane[at + 1]!) +
    (plane[above - 1]! + plane[above + 1]! + plane[below - 1]! + plane[below + 1]!)
  );
};
