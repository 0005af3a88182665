// The discrete cosine transform of blocks of 8 × 8 samples (ITU-T T.81 §A.3.3) in float64, whose sums and products are the
// same to the last bit on every platform. Five products a row: Y. Arai, T. Agui, M. Nakajima, A fast DCT-SQ scheme for
// images, Trans. IEICE E71 (1988) 1095; its results are larger than the transform by the factors below.

const HALF = Math.SQRT1_2;
const SINE = 0.3826834323650898;
const LESS = 0.5411961001461969;
const MORE = 1.3065629648763766;

/** Of each result along a line: √2·cos(kπ/16), but 1 for the first. */
const FACTORS = [
  1, 1.3870398453221475, 1.3065629648763766, 1.1758756024193588, 1, 0.7856949583871022, 0.5411961001461971,
  0.27589937928294306,
];

/** What results are multiplied by, row by row, to be in steps of a quantiser. */
export const perStep = (steps: Uint8Array): Float64Array =>
  Float64Array.from(steps, (step, i) => 1 / (8 * FACTORS[i >> 3]! * FACTORS[i & 7]! * step));

/** Transforms eight samples of a block in place. */
const transformLine = (block: Float64Array, at: number, step: number): void => {
  const end = at + 7 * step;
  const sum0 = block[at]! + block[end]!;
  const gap0 = block[at]! - block[end]!;
  const sum1 = block[at + step]! + block[end - step]!;
  const gap1 = block[at + step]! - block[end - step]!;
  const sum2 = block[at + 2 * step]! + block[end - 2 * step]!;
  const gap2 = block[at + 2 * step]! - block[end - 2 * step]!;
  const sum3 = block[at + 3 * step]! + block[end - 3 * step]!;
  const gap3 = block[at + 3 * step]! - block[end - 3 * step]!;

  const outer = sum0 - sum3;
  const turned = (sum1 - sum2 + outer) * HALF;
  block[at] = sum0 + sum3 + (sum1 + sum2);
  block[at + 4 * step] = sum0 + sum3 - (sum1 + sum2);
  block[at + 2 * step] = outer + turned;
  block[at + 6 * step] = outer - turned;

  const low = gap3 + gap2;
  const high = gap1 + gap0;
  const shared = (low - high) * SINE;
  const side = low * LESS + shared;
  const main = high * MORE + shared;
  const middle = (gap2 + gap1) * HALF;
  block[at + 5 * step] = gap0 - middle + side;
  block[at + 3 * step] = gap0 - middle - side;
  block[at + step] = gap0 + middle + main;
  block[end] = gap0 + middle - main;
};

/** Transforms a block in place: rows, then columns. */
export const transform = (block: Float64Array): void => {
  for (let row = 0; row < 64; row += 8) transformLine(block, row, 1);
  for (let column = 0; column < 8; column++) transformLine(block, column, 8);
};
