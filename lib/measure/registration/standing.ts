import { createSquare, cutReference, sampleOther, type TilePair } from './patches.ts';
import type { Similarity } from './similarity.ts';

/** Places beside a map: so many directions at so many sizes of the feature. */
const [DIRECTIONS, DISTANCES] = [8, [6, 8]] as const;

/**
 * How far the agreement of all tiles through a map stands above that at places beside it, in their standard deviations.
 */
export const standing = (pairs: readonly TilePair[], map: Similarity, scale: number): number => {
  const side = pairs[0]?.side;
  if (side === undefined) return 0;
  const lags = DISTANCES.flatMap((distance) =>
    Array.from({ length: DIRECTIONS }, (_, k) => {
      const angle = (2 * Math.PI * k) / DIRECTIONS;
      return [Math.round(distance * scale * Math.cos(angle)), Math.round(distance * scale * Math.sin(angle))] as const;
    }),
  );
  const margin = Math.max(...lags.flat());
  const sums = new Float64Array(lags.length + 1);
  const whole = side + 2 * margin;
  const [a, b] = [createSquare(whole), createSquare(whole)];
  const there = new Float32Array(whole * whole);
  for (const pair of pairs) {
    sampleOther(pair, map, margin, there, b);
    cutReference(pair, margin, there, a);
    for (const [i, [x, y]] of [[0, 0] as const, ...lags].entries())
      for (let v = margin; v < margin + side; v++) {
        const at = v * whole + margin;
        const lag = y * whole + x;
        let sum = 0;
        for (let k = at; k < at + side; k++) sum += a.values[k]! * b.values[k + lag]!;
        sums[i] = sums[i]! + sum;
      }
  }
  const beside = sums.subarray(1);
  const mean = beside.reduce((p, q) => p + q, 0) / beside.length;
  const spread = Math.sqrt(beside.reduce((p, q) => p + (q - mean) ** 2, 0) / (beside.length - 1));
  return spread > 0 ? (sums[0]! - mean) / spread : 0;
};
