/** Normal deviates with mean 0 and standard deviation 1; the same seed gives the same ones everywhere. */
export type Normal = () => number;

/** Normal deviates from uniform ones in [0, 1) by the polar method (Marsaglia & Bray 1964, SIAM Review 6, 260). */
export const polarNormal = (uniform: () => number): Normal => {
  let spare: number | undefined;
  return () => {
    if (spare !== undefined) {
      const kept = spare;
      spare = undefined;
      return kept;
    }
    for (;;) {
      const x = 2 * uniform() - 1;
      const y = 2 * uniform() - 1;
      const s = x * x + y * y;
      if (s >= 1 || s === 0) continue;
      const f = Math.sqrt((-2 * Math.log(s)) / s);
      spare = y * f;
      return x * f;
    }
  };
};

/**
 * A counter mixed to 32 bits by the finalizer of MurmurHash3 (a Weyl sequence as in Steele, Lea & Flood 2014, OOPSLA),
 * made normal. Enough for noise, not for secrets.
 */
export const normalDeviates = (seed: number): Normal => {
  let state = Math.imul(seed | 0, 0x85ebca6b) ^ 0x9e3779b9;
  return polarNormal(() => {
    state = (state + 0x9e3779b9) | 0;
    let z = Math.imul(state ^ (state >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return ((z ^ (z >>> 16)) >>> 0) / 4294967296;
  });
};
