import { blurOnce, product, type Size } from './blur.ts';

/** Deviation of the window in which lines are compared. */
const WINDOW = 6;
/** Added to the power of each other line, so that noise explains nothing. */
const RIDGE = 0.1;
const LEAST = 1e-3;

/**
 * Takes out of a line what others explain: local least squares with a ridge, in a Gaussian window. Nebula shows in several
 * lines, a trail in one.
 * @param others at most two; more are taken out two by two
 */
export const unexplained = (
  line: Float32Array,
  others: readonly Float32Array[],
  weights: Float32Array,
  size: Size,
): Float32Array => {
  if (others.length === 0) return line.slice();
  const powers = blurOnce(weights, size, WINDOW).map((value) => RIDGE * Math.max(LEAST, value));
  let left = line;
  for (let k = 0; k < others.length; k += 2) left = lessTwo(left, others.slice(k, k + 2), powers, weights, size);
  return left;
};

const powerOf = (a: Float32Array, b: Float32Array, size: Size) => blurOnce(product(a, b), size, WINDOW);

const lessTwo = (
  line: Float32Array,
  [a, b]: readonly Float32Array[],
  ridge: Float32Array,
  weights: Float32Array,
  size: Size,
): Float32Array => {
  const [aa, la] = [powerOf(a!, a!, size), powerOf(line, a!, size)];
  const left = new Float32Array(line.length);
  if (b === undefined) {
    for (let i = 0; i < left.length; i++) left[i] = (line[i]! - (la[i]! / (aa[i]! + ridge[i]!)) * a![i]!) * weights[i]!;
    return left;
  }
  const [bb, ab, lb] = [powerOf(b, b, size), powerOf(a!, b, size), powerOf(line, b, size)];
  for (let i = 0; i < left.length; i++) {
    const p = aa[i]! + ridge[i]!;
    const q = bb[i]! + ridge[i]!;
    const m = ab[i]!;
    const of = p * q - m * m;
    const ofA = (la[i]! * q - lb[i]! * m) / of;
    const ofB = (lb[i]! * p - la[i]! * m) / of;
    left[i] = (line[i]! - ofA * a![i]! - ofB * b[i]!) * weights[i]!;
  }
  return left;
};
