import type { Scratch } from '../../plane/scratch.ts';
import { blurOnce, product } from './blur.ts';
import type { Size } from './size.ts';

/** Deviation of the window in which lines are compared. */
const WINDOW = 6;
/** Added to the power of each other line, so that noise explains nothing. */
const RIDGE = 0.1;
const LEAST = 1e-3;

/** Lines of one size, and what they have in common. */
export interface ComparedLines {
  readonly size: Size;
  readonly lines: readonly Float32Array[];
  /** The product of two lines on average in the window, by their places; each is made once. */
  common(one: number, other: number): Float32Array;
}

export const compareLines = (lines: readonly Float32Array[], size: Size): ComparedLines => {
  const kept = new Map<number, Float32Array>();
  const common = (one: number, other: number): Float32Array => {
    const key = Math.min(one, other) * lines.length + Math.max(one, other);
    const known = kept.get(key) ?? commonOf(lines[one]!, lines[other]!, size);
    kept.set(key, known);
    return known;
  };
  return { size, lines, common };
};

const commonOf = (one: Float32Array, other: Float32Array, size: Size): Float32Array => {
  const both = product(one, other);
  return blurOnce(both, size, WINDOW, both);
};

/**
 * Takes out of a line what others explain: local least squares with a ridge, in a Gaussian window. Nebula shows in several
 * lines, a trail in one. More than two others are taken out two by two.
 * @param of the line's place
 */
export const unexplained = (
  of: number,
  compared: ComparedLines,
  weights: Float32Array,
  scratch: Scratch,
): Float32Array => {
  const { lines, size } = compared;
  const others = [...lines.keys()].filter((k) => k !== of);
  if (others.length === 0) return lines[of]!.slice();
  const ridge = blurOnce(weights, size, WINDOW, scratch.floats('ridge', weights.length));
  for (let i = 0; i < ridge.length; i++) ridge[i] = RIDGE * Math.max(LEAST, ridge[i]!);
  let left = lines[of]!;
  for (let k = 0; k < others.length; k += 2) {
    const now = left;
    // What is left after the first two is no line any more.
    const shared = (other: number) => (k === 0 ? compared.common(of, other) : commonOf(now, lines[other]!, size));
    left = lessTwo(now, others.slice(k, k + 2), compared, shared, ridge, weights);
  }
  return left;
};

const lessTwo = (
  line: Float32Array,
  [a, b]: readonly number[],
  { lines, common }: ComparedLines,
  shared: (other: number) => Float32Array,
  ridge: Float32Array,
  weights: Float32Array,
): Float32Array => {
  const [one, aa, la] = [lines[a!]!, common(a!, a!), shared(a!)];
  const left = new Float32Array(line.length);
  if (b === undefined) {
    for (let i = 0; i < left.length; i++)
      left[i] = (line[i]! - (la[i]! / (aa[i]! + ridge[i]!)) * one[i]!) * weights[i]!;
    return left;
  }
  const [two, bb, ab, lb] = [lines[b]!, common(b, b), common(a!, b), shared(b)];
  for (let i = 0; i < left.length; i++) {
    const p = aa[i]! + ridge[i]!;
    const q = bb[i]! + ridge[i]!;
    const m = ab[i]!;
    const of = p * q - m * m;
    const ofA = (la[i]! * q - lb[i]! * m) / of;
    const ofB = (lb[i]! * p - la[i]! * m) / of;
    left[i] = (line[i]! - ofA * one[i]! - ofB * two[i]!) * weights[i]!;
  }
  return left;
};
