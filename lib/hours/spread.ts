import type { Settled } from '../recipe/settle/settled.ts';
import { independent, propagate } from './covariance.ts';
import {
  forQuantities,
  jacobianAt,
  OUTPUTS,
  type OutputFunction,
  outputFunction,
  QUANTITY_ROWS,
  type Quantity,
} from './outputs.ts';
import { normalDeviates } from './random.ts';

/** What the noise of the lines makes of one pixel's outputs. */
export interface Spread {
  /** Derivatives: a row an output (see OUTPUTS), a column a line. */
  readonly jacobian: readonly (readonly number[])[];
  /** Covariance of red, green and blue display values. */
  readonly covariance: readonly (readonly number[])[];
  /** Standard deviation of each quantity. */
  readonly noise: Readonly<Record<Quantity, number>>;
  /** Noise of each quantity for a unit of each line's noise, so that squares of noise · sensitivity sum to the variance. */
  readonly sensitivity: Readonly<Record<Quantity, readonly number[]>>;
}

/**
 * Carries the noise of lines (standard deviations, in file units) through a recipe at one place. To first order where the
 * recipe is straight enough within the noise (JCGM 102:2011, 6.2); where a curve bends, or black cuts, within it, each
 * line's part comes from its distribution (a sum over ± 5 standard deviations) and the whole from draws, which are always
 * the same (JCGM 102, clause 7). Normal noise, independent between lines.
 */
export const spreadAt = (
  settled: Settled,
  values: readonly number[],
  lineNoise: readonly number[],
  outputs: OutputFunction = outputFunction(settled),
): Spread => {
  const jacobian = jacobianAt(settled, outputs, values);
  const place: PlaceNoise = { outputs, values, lineNoise, jacobian };
  return isBent(place) ? drawn(place) : straight(place);
};

interface PlaceNoise {
  readonly outputs: OutputFunction;
  readonly values: readonly number[];
  readonly lineNoise: readonly number[];
  readonly jacobian: readonly (readonly number[])[];
}

/** Outputs where each line is so many of its standard deviations from its value. */
const outputsAt = ({ outputs, values, lineNoise }: PlaceNoise, z: (line: number) => number): Float64Array =>
  outputs(values.map((v, i) => v + z(i) * lineNoise[i]!));

/** By how much a quantity moves for one unit of each line: the root of the summed squares of its rows. */
const firstOrder = (jacobian: PlaceNoise['jacobian'], quantity: Quantity): number[] =>
  jacobian[0]!.map((_, i) => Math.hypot(...QUANTITY_ROWS[quantity].map((row) => jacobian[row]![i]!)));

const straight = ({ jacobian, lineNoise }: PlaceNoise): Spread => {
  const sensitivity = forQuantities((q) => firstOrder(jacobian, q));
  return {
    jacobian,
    covariance: propagate(jacobian.slice(0, 3), independent(lineNoise)),
    noise: forQuantities((q) => Math.hypot(...sensitivity[q].map((c, i) => c * lineNoise[i]!))),
    sensitivity,
  };
};

/** Standard deviations at which a recipe is compared with its tangent, and the share of the noise that may be missed. */
const LOOK_AT = [1, 2];
const STRAIGHT = 0.01;

/** True where some quantity leaves its tangent, to either side of the place, by more than noise figures may. */
const isBent = (place: PlaceNoise): boolean => {
  const { jacobian, lineNoise } = place;
  const centre = outputsAt(place, () => 0);
  const missed = new Float64Array(OUTPUTS.length);
  const told = new Float64Array(OUTPUTS.length);
  for (const [line, sigma] of lineNoise.entries())
    for (const z of LOOK_AT) {
      const [above, below] = [z, -z].map((s) => outputsAt(place, (i) => (i === line ? s : 0)));
      for (let k = 0; k < OUTPUTS.length; k++) {
        const slope = z * sigma * jacobian[k]![line]!;
        const odd = (above![k]! - below![k]!) / 2 - slope;
        const even = (above![k]! + below![k]!) / 2 - centre[k]!;
        missed[k]! += 2 * Math.abs(odd * slope) + odd ** 2 + even ** 2;
        told[k]! += slope ** 2;
      }
    }
  return Object.values(QUANTITY_ROWS).some((rows) => {
    const sum = (values: Float64Array) => rows.reduce((total, row) => total + values[row]!, 0);
    return sum(missed) > 2 * STRAIGHT * sum(told);
  });
};

/** Reach and step, in standard deviations, of the sums over one line's distribution. */
const REACH = 5;
const STEP = 0.125;
const DRAWS = 2048;

interface LinePart {
  /** Covariance of each output with the line's standard deviate, and its variance when this line alone varies. */
  readonly slopes: Float64Array;
  readonly variances: Float64Array;
}

/** One line's part, by the trapezoid rule over its normal density: exact but for kinks, and there to about STEP²/12. */
const partOf = (place: PlaceNoise, line: number): LinePart => {
  const sums = Array.from({ length: 3 }, () => new Float64Array(OUTPUTS.length));
  const centre = outputsAt(place, () => 0);
  let total = 0;
  for (let z = -REACH; z <= REACH; z += STEP) {
    const weight = Math.exp((-z * z) / 2);
    const out = outputsAt(place, (i) => (i === line ? z : 0));
    total += weight;
    for (let k = 0; k < OUTPUTS.length; k++) {
      const d = out[k]! - centre[k]!;
      sums[0]![k]! += weight * d;
      sums[1]![k]! += weight * d * z;
      sums[2]![k]! += weight * d * d;
    }
  }
  const [mean, product, square] = sums.map((values) => values.map((v) => v / total));
  return { slopes: product!, variances: square!.map((v, k) => Math.max(0, v - mean![k]! ** 2)) };
};

const drawn = (place: PlaceNoise): Spread => {
  const { jacobian, lineNoise } = place;
  const parts = lineNoise.map((_, line) => partOf(place, line));
  const { variance, covariance } = together(place, parts);
  const of = (q: Quantity, values: ArrayLike<number>) => QUANTITY_ROWS[q].reduce((sum, row) => sum + values[row]!, 0);
  const sensitivity = forQuantities((q) => {
    const own = parts.map(({ variances }) => of(q, variances));
    const all = own.reduce((a, b) => a + b, 0);
    const tangent = firstOrder(jacobian, q);
    return own.map((v, i) =>
      lineNoise[i]! > 0 && all > 0 ? Math.sqrt((v / all) * of(q, variance)) / lineNoise[i]! : tangent[i]!,
    );
  });
  return { jacobian, covariance, noise: forQuantities((q) => Math.sqrt(of(q, variance))), sensitivity };
};

/**
 * Variances of the outputs, and the covariance of the display values, when all lines vary at once. What chance adds to the
 * draws is divided out by what it adds to their best straight line, whose variance is known.
 */
const together = (place: PlaceNoise, parts: readonly LinePart[]) => {
  const normal = normalDeviates(1);
  const count = OUTPUTS.length;
  const outs = Array.from({ length: DRAWS }, () => {
    const z = place.values.map(() => normal());
    const out = outputsAt(place, (i) => z[i]!);
    return { out, line: out.map((_, k) => parts.reduce((sum, { slopes }, i) => sum + slopes[k]! * z[i]!, 0)) };
  });
  const moment = (value: (draw: (typeof outs)[number]) => number, other = value) => {
    const [a, b] = [value, other].map((f) => outs.reduce((sum, draw) => sum + f(draw), 0) / DRAWS) as [number, number];
    return outs.reduce((sum, draw) => sum + (value(draw) - a) * (other(draw) - b), 0) / DRAWS;
  };
  const known = (k: number) => parts.reduce((sum, { slopes }) => sum + slopes[k]! ** 2, 0);
  const luck = Array.from({ length: count }, (_, k) => {
    const seen = moment(({ line }) => line[k]!);
    return seen > 0 ? Math.sqrt(known(k) / seen) : 1;
  });
  const variance = luck.map((share, k) => share ** 2 * moment(({ out }) => out[k]!));
  const covariance = [0, 1, 2].map((j) =>
    [0, 1, 2].map(
      (k) =>
        luck[j]! *
        luck[k]! *
        moment(
          ({ out }) => out[j]!,
          ({ out }) => out[k]!,
        ),
    ),
  );
  return { variance, covariance };
};
