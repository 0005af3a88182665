/** Deviations of the Gaussians in bins: a feature, and what lies around it; and where each is cut off. */
const NARROW = 2;
const NARROW_REACH = 8;
const WIDE = 8;
/** Bins on each side that a value depends on. */
export const REACH = 24;

/** Half of a symmetric kernel, its middle first. */
export type HalfKernel = Float32Array;

/** A Gaussian whose sum over both halves is 1. */
const gaussian = (deviation: number, reach: number): Float64Array => {
  const half = Float64Array.from({ length: reach + 1 }, (_, i) => Math.exp(-0.5 * (i / deviation) ** 2));
  const sum = 2 * half.reduce((a, b) => a + b) - half[0]!;
  return half.map((value) => value / sum);
};

const [narrow, wide] = [gaussian(NARROW, NARROW_REACH), gaussian(WIDE, REACH)];

/** The kernels of the local mean a and the wider one b along an axis, and their products: variances go by these. */
export const KERNELS = {
  a: Float32Array.from(narrow),
  b: Float32Array.from(wide),
  aa: Float32Array.from(narrow, (value) => value * value),
  ab: Float32Array.from(narrow, (value, i) => value * wide[i]!),
  bb: Float32Array.from(wide, (value) => value * value),
} as const satisfies Record<string, HalfKernel>;

/** The kernel a − b over the plane, whole. */
const difference = (x: number, y: number): number => {
  const at = (half: Float64Array, i: number) => half[Math.abs(i)] ?? 0;
  return at(narrow, x) * at(narrow, y) - at(wide, x) * at(wide, y);
};

/**
 * Density of the field that a − b makes of independent bins: the root of the determinant of its derivatives' covariance
 * over its variance, Σ(k(x) − k(x − 1))² / Σk², 0.1430 for each bin.
 */
const densityOf = (): number => {
  let [squares, steps] = [0, 0];
  for (let y = -REACH; y <= REACH; y++)
    for (let x = -REACH; x <= REACH + 1; x++) {
      squares += difference(x, y) ** 2;
      steps += (difference(x, y) - difference(x - 1, y)) ** 2;
    }
  return steps / squares;
};

export const FIELD_DENSITY = densityOf();
