import type { Matrix } from '../../plane/linear.ts';
import { beginning, hueErrors } from './closed-form.ts';
import { AMBER, type Field, GREEN, type Judged, judgedOf, LIMITS, worth } from './limits.ts';
import { along } from './look.ts';
import { leastNear } from './nelder-mead.ts';
import { thinned } from './populations.ts';

/** Hues may be off by so many degrees for nothing. */
const FREE = 12;
/** How often a mix is judged on the way from each start, and from the better of them. */
const [FIRST, LAST] = [150, 150];
/** Pixels with signal that tell one mix from another well enough to begin with. */
const ENOUGH = 700;

/** Rows that sum to 1 by their first two weights. */
const rowsOf = (x: readonly number[]): number[][] =>
  [0, 2, 4].map((at) => [x[at]!, x[at + 1]!, 1 - x[at]! - x[at + 1]!]);
const numbersOf = (matrix: Matrix): number[] => matrix.flatMap(([first, second]) => [first!, second!]);

const over = (value: number): number => Math.max(0, value);

/** What a mix lacks, and by how much it exceeds its limits: the less the better. */
const costOf = (judged: Judged, field: Field, hues: readonly number[]): number => {
  const { sky, excess, outside, stars, norm } = judged;
  const fines = [
    40 * over(sky / field.sky - 1) ** 2,
    400 * over(excess - 0.004) ** 2,
    3 * over(outside - LIMITS.outside),
    10 * over(norm / LIMITS.norm - 1) ** 2,
    ...(stars
      ? [
          100 * over(Math.abs(along(stars, GREEN)) - LIMITS.green) ** 2,
          100 * over(Math.abs(along(stars, AMBER)) - LIMITS.amber) ** 2,
        ]
      : []),
    ...hueErrors(judged, hues).map((error) => (over(error - FREE) / 20) ** 2),
  ];
  return fines.reduce((sum, fine) => sum + fine, -worth(judged));
};

const rounded = (matrix: Matrix): number[][] =>
  matrix.map(([first, second]) => {
    const [a, b] = [Math.round(100 * first!) / 100, Math.round(100 * second!) / 100];
    return [a, b, Math.round(100 * (1 - a - b)) / 100];
  });

/** The mix of three lines that keeps them furthest apart near the hues of a family, and how far it is from these. */
export const searchNear = (
  field: Field,
  hues: readonly number[],
): { readonly matrix: Matrix; readonly error: number } => {
  const { values, lines } = field.populations;
  const step = Math.max(1, Math.floor(values.length / lines / ENOUGH));
  const few = { ...field, populations: thinned(field.populations, step) };
  const costIn = (of: Field) => (x: readonly number[]) => costOf(judgedOf(rowsOf(x), of), of, hues);
  const start = numbersOf(beginning(few, hues));
  const tries = [start, start.map((w) => 0.5 * w + 1 / 6)].map((from) => leastNear(costIn(few), from, 0.2, FIRST));
  const better = tries.reduce((best, next) => (next.value < best.value ? next : best));
  const matrix = rounded(rowsOf(leastNear(costIn(field), better.x, 0.06, LAST).x));
  return { matrix, error: Math.max(...hueErrors(judgedOf(matrix, field), hues)) };
};
