import { leastSquares } from '../plane/least-squares.ts';
import { type PowerShape, windowOf } from './power.ts';

/** How far noise may be shared by pixels: resampling by splines, three lobes of a sinc, drizzling onto a third. */
const REACH = 4;

/**
 * How the noise of pixels goes together: `across[k]` and `down[k]` are the correlations of pixels k apart along a row
 * and a column, 1 for k = 0; those of pixels apart in both are their products, and of diagonal neighbours the product
 * plus `falling` (from left above to right below) or `rising`.
 */
export interface NoiseCorrelation {
  readonly across: readonly number[];
  readonly down: readonly number[];
  readonly falling: number;
  readonly rising: number;
}

/** Pixels that share nothing. */
export const INDEPENDENT: NoiseCorrelation = {
  across: [1],
  down: [1],
  falling: 0,
  rising: 0,
};

/** Least that the mean of a box may vary, relative to independent pixels, so that no estimate promises a sure mean. */
const LEAST_AREA = 0.05;

/**
 * Noise of the mean of a box is noise · area / √n: the root of Σ R(x, y) · (1 − |x|/width) · (1 − |y|/height) over all
 * distances. 1 for independent pixels. Exact for a box without gaps.
 */
export const areaOf = (
  { across, down, falling, rising }: NoiseCorrelation,
  width = Number.POSITIVE_INFINITY,
  height = Number.POSITIVE_INFINITY,
): number => {
  const along = (values: readonly number[], length: number) =>
    values.reduce((sum, r, k) => sum + (k === 0 ? 1 : 2) * r * Math.max(0, 1 - k / length), 0);
  const corners = 2 * (falling + rising) * (1 - 1 / width) * (1 - 1 / height);
  return Math.sqrt(Math.max(LEAST_AREA ** 2, along(across, width) * along(down, height) + corners));
};

/** Variance of a pixel and how pixels go together. */
export interface FittedNoise {
  /** Power at 0.06…0.12 cycles a pixel over that of the noise: about 1 for noise alone. */
  readonly nebula: number;
  readonly variance: number;
  readonly correlation: NoiseCorrelation;
}

/** Frequencies (cycles a pixel) above which noise speaks, and the ring in which the nebula is weighed. */
const NOISE_ABOVE = 0.2;
const NEBULA_RING: readonly [number, number] = [0.06, 0.12];
/** Where the ring holds so many times the noise, even the calmest places are full of nebula, and only this is looked at. */
const FILLED = 8;
const NOISE_ABOVE_NEBULA = 0.3;
/** From this much nebula on, correlation of pixels so far apart is structure rather than resampling. */
export const NEBULOUS = 3;
const FAR = 3;
const MOST_FAR = 0.1;
/** How fast the power of a nebula falls with frequency within these. */
const NEBULA_FALL = 4;
/** It is never taken to be stronger, at the lowest frequency looked at, than this share of the noise. */
const MOST_NEBULA = 0.25;
const ROUNDS = 24;
const ROUNDS_WITHOUT_NEBULA = 4;
/** Bins of less power than this share of the strongest count no more than those that have it. */
const LEAST_POWER = 0.05;

/**
 * The noise whose power is `power`, the mean over quiet cells (see `powerOfCells`). A resampled or drizzled master mixes
 * neighbours only, so its noise has a power P(u, v) = R₀·A(u)·D(v) + diagonal terms, with A and D sums of few cosines. These
 * are fitted to the frequencies above 0.2 cycles a pixel, where there is hardly any nebula, and so are known at frequency
 * 0 as well, which is what means of boxes depend on. A tail of nebula, ∝ f⁻⁴ and as strong as what is left at 0.06…0.12,
 * is taken off first. The expected power of a windowed cell is that of R times the window's own correlation.
 * Undefined where the power allows no positive variance, or nebula is all there is.
 */
export const fitNoise = (power: Float64Array, shape: PowerShape): FittedNoise | undefined => {
  const usual = fitAbove(NOISE_ABOVE, power, shape);
  const found = usual && usual.nebula > FILLED ? fitAbove(NOISE_ABOVE_NEBULA, power, shape) : usual;
  if (found === undefined || found.nebula <= NEBULOUS) return found;
  const { across, down } = found.correlation;
  return [...across.slice(FAR), ...down.slice(FAR)].every((r) => Math.abs(r) < MOST_FAR) ? found : undefined;
};

const fitAbove = (above: number, power: Float64Array, shape: PowerShape): FittedNoise | undefined => {
  const basis = basisOf(shape);
  const state = startOf(above, power, shape);
  for (let round = 0; round < ROUNDS; round++) {
    if (round >= ROUNDS_WITHOUT_NEBULA)
      state.nebula = Math.min(MOST_NEBULA * state.most, nebulaIn(power, shape, basis, state));
    const rest = power.map((p, i) => p - state.nebula * basis.nebula[i]!);
    const model = modelOf(shape, basis, state);
    const floor = LEAST_POWER * state.most;
    const weights = model.map((m, i) =>
      shape.frequency[i]! > above ? shape.stands[i]! / Math.max(m + state.nebula * basis.nebula[i]!, floor) ** 2 : 0,
    );
    fitAcross(rest, weights, shape, basis, state);
    fitDown(rest, weights, shape, basis, state);
  }
  const variance = state.across[0]!;
  if (!(variance > 0)) return undefined;
  const [falling, rising] = state.corners.map((v) => v / variance) as [number, number];
  const across = state.across.map((v) => v / variance);
  const nebula = ringRatio(power, shape, basis, state);
  return {
    variance,
    correlation: { across, down: state.down, falling, rising },
    nebula,
  };
};

interface Basis {
  /** cos(2πkf), doubled for k > 0, times the window's correlation at k: by frequency index, then k. */
  readonly cosines: readonly (readonly number[])[];
  /** Power of the correlation of diagonal neighbours, falling and rising, by bin. */
  readonly corners: readonly [Float64Array, Float64Array];
  readonly nebula: Float64Array;
}

const basisOf = ({ side, frequency }: PowerShape): Basis => {
  const hann = windowOf(side);
  const shared = Array.from({ length: REACH + 1 }, (_, k) =>
    hann.reduce((sum, w, i) => sum + w * (hann[i + k] ?? 0), 0),
  );
  const rho = shared.map((v) => v / shared[0]!);
  const angle = (2 * Math.PI) / side;
  const corner = (sign: number) =>
    frequency.map((_, i) => {
      const [u, v] = [Math.floor(i / side), i % side];
      return 2 * rho[1]! ** 2 * Math.cos(angle * (u + sign * v));
    });
  return {
    cosines: Array.from({ length: side }, (_, f) => rho.map((r, k) => (k === 0 ? 1 : 2) * r * Math.cos(angle * k * f))),
    corners: [corner(1), corner(-1)],
    nebula: frequency.map((f) => (f > 0 ? (f / NOISE_ABOVE) ** -NEBULA_FALL : 0)),
  };
};

interface State {
  across: number[];
  down: number[];
  corners: number[];
  nebula: number;
  /** Power that one bin in twenty exceeds. */
  readonly most: number;
}

const startOf = (above: number, power: Float64Array, { frequency }: PowerShape): State => {
  const heard = power.filter((_, i) => frequency[i]! > above).toSorted();
  const usual = heard[heard.length >> 1]!;
  const one = Array.from({ length: REACH + 1 }, (_, k) => (k === 0 ? 1 : 0));
  return {
    across: one.map((v) => v * usual),
    down: one,
    corners: [0, 0],
    nebula: 0,
    most: heard[Math.floor(0.95 * heard.length)]!,
  };
};

const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, v, i) => sum + v * b[i]!, 0);

const modelOf = ({ side }: PowerShape, { cosines, corners }: Basis, { across, down, corners: by }: State) =>
  corners[0].map(
    (falling, i) =>
      dot(cosines[Math.floor(i / side)]!, across) * dot(cosines[i % side]!, down) +
      by[0]! * falling +
      by[1]! * corners[1][i]!,
  );

/** Power in the ring over that of the noise there. */
const ringRatio = (power: Float64Array, shape: PowerShape, basis: Basis, state: State): number => {
  const model = modelOf(shape, basis, state);
  let [found, noise] = [0, 0];
  for (const [i, f] of shape.frequency.entries()) {
    if (!(f > NEBULA_RING[0] && f < NEBULA_RING[1])) continue;
    found += shape.stands[i]! * power[i]!;
    noise += shape.stands[i]! * model[i]!;
  }
  return noise > 0 ? found / noise : Number.POSITIVE_INFINITY;
};

/** What the ring holds beyond the noise, as the strength of a nebula; never negative. */
const nebulaIn = (power: Float64Array, shape: PowerShape, basis: Basis, state: State): number => {
  const model = modelOf(shape, basis, state);
  let [sum, squares] = [0, 0];
  for (const [i, f] of shape.frequency.entries()) {
    if (!(f > NEBULA_RING[0] && f < NEBULA_RING[1])) continue;
    const weight = shape.stands[i]! / power[i]! ** 2;
    sum += weight * (power[i]! - model[i]!) * basis.nebula[i]!;
    squares += weight * basis.nebula[i]! ** 2;
  }
  return squares > 0 ? Math.max(0, sum / squares) : 0;
};

/** Weighted least squares over the bins by the normal equations: few unknowns, far apart, so that these do. */
const solve = (target: Float64Array, columns: readonly Float64Array[], weights: Float64Array): number[] => {
  const inner = (a: Float64Array, b: Float64Array) => {
    let sum = 0;
    for (let i = 0; i < weights.length; i++) sum += weights[i]! * a[i]! * b[i]!;
    return sum;
  };
  return leastSquares(
    columns.map((a) => columns.map((b) => inner(a, b))),
    columns.map((a) => inner(a, target)),
  );
};

const fitAcross = (rest: Float64Array, weights: Float64Array, shape: PowerShape, basis: Basis, state: State): void => {
  const { side } = shape;
  const down = basis.cosines.map((row) => dot(row, state.down));
  const terms = state.across.map((_, k) =>
    rest.map((_, i) => basis.cosines[Math.floor(i / side)]![k]! * down[i % side]!),
  );
  const found = solve(rest, [...terms, ...basis.corners], weights);
  state.across = found.slice(0, REACH + 1);
  state.corners = found.slice(REACH + 1);
};

const fitDown = (rest: Float64Array, weights: Float64Array, shape: PowerShape, basis: Basis, state: State): void => {
  const { side } = shape;
  const [falling, rising] = basis.corners;
  const across = basis.cosines.map((row) => dot(row, state.across));
  const terms = state.down.map((_, k) =>
    rest.map((_, i) => basis.cosines[i % side]![k]! * across[Math.floor(i / side)]!),
  );
  const without = rest.map((p, i) => p - state.corners[0]! * falling[i]! - state.corners[1]! * rising[i]!);
  const found = solve(without, terms, weights);
  const first = found[0]!;
  state.across = state.across.map((v) => v * first);
  state.down = found.map((v) => v / first);
};
