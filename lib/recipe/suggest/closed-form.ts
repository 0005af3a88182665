import { type Matrix, multiply, multiplyVector } from '../../plane/linear.ts';
import { median } from '../../plane/robust.ts';
import { pseudoInverse, svd } from '../../plane/svd.ts';
import { chromaSlopes } from './chroma-plane.ts';
import { type Field, GREEN, type Judged, judgedOf, keeps, worth } from './limits.ts';
import { FEWEST_STARS } from './look.ts';

const DEGREE = Math.PI / 180;

/** Two orthonormal contrasts of three lines (Helmert's). */
const CONTRASTS: Matrix = [[1, -1, 0].map((v) => v / Math.sqrt(2)), [1, 1, -2].map((v) => v / Math.sqrt(6))];

/** Changes of red, green and blue that move OKLab a and b, without moving grey: 3 × 2. */
const TOWARDS: Matrix = (() => {
  const inverse = pseudoInverse(chromaSlopes(0.4));
  const mean = [0, 1].map((k) => inverse.reduce((sum, row) => sum + row[k]! / 3, 0));
  return inverse.map((row) => row.map((v, k) => v - mean[k]!));
})();

/** Weights that leave equal lines grey: W = ⅓·11ᵀ + s·P·G·E, P `TOWARDS`, E `CONTRASTS`. */
const weightsOf = (g: Matrix, size: number): number[][] =>
  multiply(multiply(TOWARDS, g), CONTRASTS).map((row) => row.map((v) => 1 / 3 + size * v));

/** How much the colour of stars counts beside the hues, and what populations are compared with: sky (1) or the mean (0). */
const STAR_SHARES = [0.7, 0.35, 0.15];
const REFERENCES = [0, 0.5, 1];
/** Halvings when the largest size within the limits is looked for. */
const ROUNDS = 14;

const unit = (v: readonly number[]): number[] => v.map((x) => x / (Math.hypot(...v) || 1));

/**
 * The turn of contrasts into the plane of chroma that comes nearest to the hues that populations aim at: the right singular
 * vector of the smallest singular value of the rows (−sin θ, cos θ) ⊗ d, with a row that holds stars off green and magenta.
 */
const direction = (field: Field, hues: readonly number[], starShare: number, reference: number): Matrix => {
  const { populations, sample } = field;
  const mean = populations.sky.map((s, c) => reference * s + (1 - reference) * brightMean(field, c));
  const directions = populations.excess.map((excess) =>
    unit(
      multiplyVector(
        CONTRASTS,
        excess.map((v, c) => v + populations.sky[c]! - mean[c]!),
      ),
    ),
  );
  const rows = directions.map((d, k) => outer([-Math.sin(hues[k]! * DEGREE), Math.cos(hues[k]! * DEGREE)], d));
  if (sample.stars.length / 3 >= FEWEST_STARS) {
    const star = unit(multiplyVector(CONTRASTS, medians(sample.stars)));
    const towards = [Math.cos(GREEN * DEGREE), Math.sin(GREEN * DEGREE)];
    rows.push(outer(towards, star).map((v) => starShare * v));
  }
  // Four rows at least, so that all four singular vectors are there.
  while (rows.length < 4) rows.push([0, 0, 0, 0]);
  const { v } = svd(rows);
  const g = v.map((row) => row[3]!);
  const along = directions.reduce((sum, d, k) => {
    const [a, b] = [g[0]! * d[0]! + g[1]! * d[1]!, g[2]! * d[0]! + g[3]! * d[1]!];
    return sum + a * Math.cos(hues[k]! * DEGREE) + b * Math.sin(hues[k]! * DEGREE);
  }, 0);
  const sign = along < 0 ? -1 : 1;
  return [
    [sign * g[0]!, sign * g[1]!],
    [sign * g[2]!, sign * g[3]!],
  ];
};

const outer = (left: readonly number[], right: readonly number[]): number[] =>
  left.flatMap((a) => right.map((b) => a * b));

const brightMean = ({ populations: { bright, values, lines } }: Field, c: number): number =>
  bright.reduce((sum, i) => sum + values[i * lines + c]!, 0) / Math.max(1, bright.length);

const medians = (stars: Float64Array): number[] =>
  [0, 1, 2].map((c) => median(Float64Array.from({ length: stars.length / 3 }, (_, i) => stars[3 * i + c]!)));

const largestWithin = (g: Matrix, field: Field): Judged => {
  let [low, high] = [0, 12 / Math.hypot(...g.flat())];
  for (let round = 0; round < ROUNDS; round++) {
    const middle = (low + high) / 2;
    if (keeps(judgedOf(weightsOf(g, middle), field), field)) low = middle;
    else high = middle;
  }
  return judgedOf(weightsOf(g, low), field);
};

const apartBy = (hue: number, other: number): number => Math.abs(((((hue - other) % 360) + 540) % 360) - 180);
const hueOf = ([a, b]: readonly [number, number]): number => Math.atan2(b, a) / DEGREE;

/** Below these chromas a hue says little, and less; beside the others' mean it may still say something. */
const [PALE, GREYISH] = [0.03, 0.015];

/** How far the hue of each population is from where it aims, in degrees. */
export const hueErrors = ({ places }: Pick<Judged, 'places'>, hues: readonly number[]): number[] => {
  const centre = [0, 1].map((k) => places.reduce((sum, place) => sum + place[k]! / places.length, 0));
  return places.map(([a, b], k) => {
    const own = apartBy(hueOf([a, b]), hues[k]!);
    const beside = apartBy(hueOf([a - centre[0]!, b - centre[1]!]), hues[k]!);
    const chroma = Math.hypot(a, b);
    if (chroma > PALE) return own;
    return chroma > GREYISH ? Math.min(own, beside + 15) : Math.min(own, beside);
  });
};

/** Where the search for a family begins: the best of a few closed forms. */
export const beginning = (field: Field, hues: readonly number[]): Matrix => {
  let best: { readonly matrix: Matrix; readonly score: number } | undefined;
  for (const reference of REFERENCES)
    for (const share of STAR_SHARES) {
      const judged = largestWithin(direction(field, hues, share, reference), field);
      const error = Math.max(...hueErrors(judged, hues));
      const score = worth(judged) * Math.max(0.02, 1 - (error / 70) ** 2);
      if (best === undefined || score > best.score) best = { matrix: judged.matrix, score };
    }
  return best!.matrix;
};
