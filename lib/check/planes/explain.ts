import type { Scratch } from '../../plane/scratch.ts';
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
  scratch: Scratch,
): Float32Array => {
  if (others.length === 0) return line.slice();
  const ridge = blurOnce(weights, size, WINDOW, scratch.floats('ridge', weights.length));
  for (let i = 0; i < ridge.length; i++) ridge[i] = RIDGE * Math.max(LEAST, ridge[i]!);
  let left = line;
  for (let k = 0; k < others.length; k += 2)
    left = lessTwo(left, others.slice(k, k + 2), ridge, weights, size, scratch);
  return left;
};

const lessTwo = (
  line: Float32Array,
  [a, b]: readonly Float32Array[],
  ridge: Float32Array,
  weights: Float32Array,
  size: Size,
  scratch: Scratch,
): Float32Array => {
  const powerOf = (name: string, of: Float32Array, by: Float32Array) => {
    const power = product(of, by, scratch.floats(name, of.length));
    return blurOnce(power, size, WINDOW, power);
  };
  const [aa, la] = [powerOf('aa', a!, a!), powerOf('la', line, a!)];
  const left = new Float32Array(line.length);
  if (b === undefined) {
    for (let i = 0; i < left.length; i++) left[i] = (line[i]! - (la[i]! / (aa[i]! + ridge[i]!)) * a![i]!) * weights[i]!;
    return left;
  }
  const [bb, ab, lb] = [powerOf('bb', b, b), powerOf('ab', a!, b), powerOf('lb', line, b)];
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
