import type { Field } from './noise.ts';

const ANGLES = 2048;
const RADII = 560;
const REACH = 2.8;

/**
 * Optical depth from a point to anywhere within 2.8 scene units: the density summed along straight rays.
 * Kept as a polar table, read bilinearly, so that it is the same however the picture is turned, shifted or cropped.
 */
export const opticalDepth = (density: Field, u0: number, v0: number): Field => {
  const step = REACH / RADII;
  const table = new Float32Array(ANGLES * (RADII + 1));
  // Rays are followed only as far as somebody asks: most pictures end well within reach.
  const followed = new Uint16Array(ANGLES);
  const sums = new Float64Array(ANGLES);
  const follow = (a: number, to: number): void => {
    const cos = Math.cos((2 * Math.PI * a) / ANGLES);
    const sin = Math.sin((2 * Math.PI * a) / ANGLES);
    let sum = sums[a]!;
    for (let k = followed[a]! + 1; k <= to; k++) {
      const r = (k - 0.5) * step;
      sum += step * density(u0 + r * cos, v0 + r * sin);
      table[a * (RADII + 1) + k] = sum;
    }
    sums[a] = sum;
    followed[a] = to;
  };
  return (u, v) => {
    const du = u - u0;
    const dv = v - v0;
    const radius = Math.min(RADII - 1e-6, Math.sqrt(du * du + dv * dv) / step);
    const turn = ((Math.atan2(dv, du) / (2 * Math.PI) + 1) % 1) * ANGLES;
    const a = Math.floor(turn) % ANGLES;
    const k = Math.floor(radius);
    const fk = radius - k;
    const fa = turn - Math.floor(turn);
    const b = (a + 1) % ANGLES;
    if (followed[a]! <= k) follow(a, k + 1);
    if (followed[b]! <= k) follow(b, k + 1);
    const here = a * (RADII + 1) + k;
    const next = b * (RADII + 1) + k;
    const low = table[here]! + fk * (table[here + 1]! - table[here]!);
    const high = table[next]! + fk * (table[next + 1]! - table[next]!);
    return low + fa * (high - low);
  };
};
