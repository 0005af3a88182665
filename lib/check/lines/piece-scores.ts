import { MAD_TO_SIGMA } from '../../plane/robust.ts';
import type { LineSums } from './transform.ts';

/** A line that is brighter or darker than its sides, or a step from one side to the other. */
export type LineShape = 'line' | 'step';

/** Scores of the lines of all pieces, in the places of their sums, and the spread that chance gives them; at least 1. */
export interface PieceScores {
  /** 0 where they are below what is asked for, in size. */
  readonly scores: Float32Array;
  /** Where they are not, in rising order. */
  readonly high: ArrayLike<number>;
  readonly spread: number;
}

/** Share of a line's pixels that must count, of a side's, and of a step's. */
const LEAST = 0.5;
const LEAST_SIDE = 1.5;
const LEAST_STEP = 0.7;
/** Bins of .01 that scores are counted in; every so many of them. */
export const BINS = 4096;
const BIN = 0.01;
const EVERY = 8;
/** Fewer scores than this have no spread. */
const ENOUGH = 200;

/** Sums of one line, so that any run of it is a difference; what lies outside counts as 0. */
const runningSums = (into: Float64Array, sums: Float32Array, start: number, length: number, margin: number): void => {
  into.fill(0, 0, margin + 1);
  let sum = 0;
  for (let i = 0; i < length; i++) {
    sum += sums[start + i]!;
    into[margin + 1 + i] = sum;
  }
  into.fill(sum, margin + 1 + length, margin + 1 + length + margin);
};

/** What scores are asked for. */
export interface ScoreQuestion {
  readonly width: number;
  readonly shape: LineShape;
  /** Rows of the plane. */
  readonly height: number;
  /** Smaller scores need not be known. */
  readonly least: number;
}

/**
 * How plainly each line of each piece stands out of its sides: the mean over its width less that of flanks of twice the
 * width beside a gap of half of it, over the deviation that values of variance 1 give it. 0 where too little is known.
 *
 * @param scores written over; as long as the sums
 */
export const pieceScores = (
  values: LineSums,
  weights: LineSums,
  question: ScoreQuestion,
  scores: Float32Array,
): PieceScores | undefined => {
  const { width, shape, height } = question;
  const { rows, pieces, stride, pad } = values;
  const margin = 4 * width + 4;
  const [r, v] = [new Float64Array(stride + 2 * margin + 1), new Float64Array(stride + 2 * margin + 1)];
  const known = LEAST * rows * width;
  const row = { ...question, scores, r, v, margin, known, counted: new Uint32Array(BINS), high: [] };
  const score = shape === 'line' ? lineScores : stepScores;
  for (let piece = 0; piece < pieces; piece++) {
    if (isExempt(piece, rows, height)) continue;
    for (let shift = 0; shift < rows; shift++) {
      const first = (piece * rows + shift) * stride + pad - shift;
      const length = stride - pad + shift;
      runningSums(r, values.sums, first, length, margin);
      runningSums(v, weights.sums, first, length, margin);
      score(row, first, length);
    }
  }
  const spread = spreadOf(row.counted);
  return spread === undefined ? undefined : { scores, high: row.high, spread };
};

/** Whether a piece lies so far beyond the lower edge that it says nothing. */
export const isExempt = (piece: number, rows: number, height: number): boolean => height - piece * rows < rows / 2;

/** A row of lines that are scored. */
interface ScoredRow extends ScoreQuestion {
  readonly scores: Float32Array;
  readonly r: Float64Array;
  readonly v: Float64Array;
  readonly margin: number;
  /** Least sum of weights over a line's width. */
  readonly known: number;
  readonly counted: Uint32Array;
  readonly high: number[];
}

/** Takes in one score, given as `above` over the root of `below`: most are too small to be worth the root. */
const take = ({ least, scores, counted, high }: ScoredRow, at: number, above: number, below: number): void => {
  const isLow = above * above < least * least * below;
  if (isLow) scores[at] = 0;
  else {
    scores[at] = above / Math.sqrt(below);
    high.push(at);
  }
  if (at % EVERY === 0) counted[Math.min(BINS - 1, Math.floor(Math.abs(above) / Math.sqrt(below) / BIN))]!++;
};

const lineScores = (row: ScoredRow, first: number, length: number): void => {
  const { r, v, width, margin, known, scores } = row;
  const half = width >> 1;
  const gap = Math.max(1, half);
  const flank = 2 * width;
  for (let i = 0; i < length; i++) {
    // Sums of [a, b) are differences: the line, the flank before it and the flank after it.
    const a = margin + i - half;
    const b = a + width;
    const b1 = a - gap;
    const a1 = b1 - flank;
    const a2 = b + gap;
    const b2 = a2 + flank;
    const centre = v[b]! - v[a]!;
    const before = v[b1]! - v[a1]!;
    const after = v[b2]! - v[a2]!;
    if (centre < known || before < LEAST_SIDE * known || after < LEAST_SIDE * known) {
      scores[first + i] = 0;
      continue;
    }
    const sides = before + after;
    const light = (r[b]! - r[a]!) * sides - (r[b1]! - r[a1]! + r[b2]! - r[a2]!) * centre;
    take(row, first + i, light, centre * sides * (centre + sides));
  }
};

const stepScores = (row: ScoredRow, first: number, length: number): void => {
  const { r, v, width, margin, known, scores } = row;
  for (let i = 0; i < length; i++) {
    const at = margin + i;
    const before = v[at]! - v[at - width]!;
    const after = v[at + width]! - v[at]!;
    if (before < LEAST_STEP * known || after < LEAST_STEP * known) {
      scores[first + i] = 0;
      continue;
    }
    const light = (r[at + width]! - r[at]!) * before - (r[at]! - r[at - width]!) * after;
    take(row, first + i, light, before * after * (before + after));
  }
};

/** The spread of scores from how many lie in each bin; undefined for too few. */
export const spreadOf = (counted: Uint32Array): number | undefined => {
  const count = counted.reduce((sum, of) => sum + of, 0);
  if (count * EVERY < ENOUGH) return undefined;
  let [bin, below] = [0, 0];
  while (bin < BINS - 1 && below + counted[bin]! < count / 2) below += counted[bin++]!;
  return Math.max(1, MAD_TO_SIGMA * BIN * (bin + 0.5));
};
