/** √variance that white noise of deviation 1 has at scales 1, 2, 3 of the starlet transform (Starck & Murtagh 2006). */
export const STARLET_NOISE = [0.8908, 0.2007, 0.0856] as const;

/**
 * Scales 1, 2, … of the starlet transform (undecimated, à trous, B₃ spline): each is what one smoothing takes off the result
 * of the one before, structure of about 2ʲ pixels. Rows and columns beyond the plane mirror those inside.
 * Source: J.-L. Starck, F. Murtagh & J. Fadili, "Sparse Image and Signal Processing", 2nd ed. 2015, 3.5.
 */
export const starletTransform = (width: number, rows: number) => {
  const plane = () => new Float32Array(width * rows);
  const between = plane();
  let [smooth, next] = [plane(), plane()];
  /** Writes a scale into each of `into`, which is skipped where undefined. Memory is used again by the next call. */
  return (from: Float32Array, into: readonly (Float32Array | undefined)[]): void => {
    smooth.set(from);
    for (const [j, detail] of into.entries()) {
      smoothRows(smooth, between, width, rows, 1 << j);
      smoothColumns(between, next, width, rows, 1 << j);
      if (detail) for (let i = 0; i < detail.length; i++) detail[i] = smooth[i]! - next[i]!;
      [smooth, next] = [next, smooth];
    }
  };
};

/** Where a place beyond [0, n) mirrors one inside. */
const inside = (i: number, n: number): number => {
  const period = 2 * n;
  const within = ((i % period) + period) % period;
  return within < n ? within : period - 1 - within;
};

/** (1 4 6 4 1)/16 along rows, taps `step` apart. */
const smoothRows = (from: Float32Array, to: Float32Array, width: number, rows: number, step: number): void => {
  const edge = Math.min(width, 2 * step);
  for (let y = 0; y < rows; y++) {
    const at = y * width;
    const tap = (x: number) => from[at + inside(x, width)]!;
    const careful = (x: number) => {
      to[at + x] =
        0.375 * tap(x) + 0.25 * (tap(x - step) + tap(x + step)) + 0.0625 * (tap(x - 2 * step) + tap(x + 2 * step));
    };
    for (let x = 0; x < edge; x++) careful(x);
    for (let i = at + edge; i < at + width - edge; i++)
      to[i] =
        0.375 * from[i]! +
        0.25 * (from[i - step]! + from[i + step]!) +
        0.0625 * (from[i - 2 * step]! + from[i + 2 * step]!);
    for (let x = Math.max(edge, width - edge); x < width; x++) careful(x);
  }
};

const smoothColumns = (from: Float32Array, to: Float32Array, width: number, rows: number, step: number): void => {
  for (let y = 0; y < rows; y++) {
    const [a, b, c, d, e] = [-2, -1, 0, 1, 2].map((k) => inside(y + k * step, rows) * width) as [
      number,
      number,
      number,
      number,
      number,
    ];
    const into = y * width;
    for (let x = 0; x < width; x++)
      to[into + x] =
        0.375 * from[c + x]! + 0.25 * (from[b + x]! + from[d + x]!) + 0.0625 * (from[a + x]! + from[e + x]!);
  }
};
