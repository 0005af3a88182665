import { distance, type Fit, fitSimilarity, type Pair, type Similarity, scaleOf } from './similarity.ts';

export interface Agreement extends Fit {
  /** Which pairs take part. */
  readonly inliers: readonly boolean[];
}

/** So many pairs must agree before accident is out of the question. */
export const FEWEST = 4;

/** Scales between masters of one camera, binned alike; more is another optical train and no registration fault. */
const SCALES = [0.8, 1.25] as const;

/**
 * The similarity on which most weight agrees within `tolerance` pixels: every pair of points far enough apart proposes
 * one (as M. A. Fischler & R. C. Bolles, Comm. ACM 24(6) 381–395, 1981, but all of them rather than random ones), the
 * best is fitted by least squares to those that agree, until these no longer change.
 * Undefined where fewer than four agree, or less than `share` of the points.
 */
export const agree = (
  pairs: readonly Pair[],
  centre: { cx: number; cy: number },
  tolerance: number,
  share = 0.3,
): Agreement | undefined => {
  const enough = Math.max(FEWEST, Math.ceil(share * pairs.length));
  if (pairs.length < enough) return undefined;
  let best: Similarity | undefined;
  let most = 0;
  for (const map of proposals(pairs, centre)) {
    const support = pairs.reduce((sum, p) => sum + (distance(map, p) <= tolerance ? p.weight : 0), 0);
    if (support <= most) continue;
    most = support;
    best = map;
  }
  if (best === undefined) return undefined;
  return refine(pairs, centre, best, tolerance, enough);
};

const refine = (
  pairs: readonly Pair[],
  centre: { cx: number; cy: number },
  start: Similarity,
  tolerance: number,
  enough: number,
): Agreement | undefined => {
  let inliers = pairs.map((p) => distance(start, p) <= tolerance);
  for (let round = 0; ; round++) {
    const kept = pairs.filter((_, i) => inliers[i]);
    if (kept.length < enough) return undefined;
    const fit = fitSimilarity(kept, centre);
    if (fit === undefined) return undefined;
    // Agreement at a tighter bound than chance needs: outliers of a fraction of a pixel still bend the fit.
    const bound = Math.min(tolerance, Math.max(0.1, 3 * medianDistance(fit.map, kept)));
    const next = pairs.map((p) => distance(fit.map, p) <= bound);
    if (round >= 10 || next.every((inside, i) => inside === inliers[i])) return { ...fit, inliers };
    if (next.filter(Boolean).length < enough) return { ...fit, inliers };
    inliers = next;
  }
};

const medianDistance = (map: Similarity, pairs: readonly Pair[]): number => {
  const sorted = pairs.map((p) => distance(map, p)).sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)]!;
};

const proposals = function* (pairs: readonly Pair[], centre: { cx: number; cy: number }): Generator<Similarity> {
  const reach = Math.max(...pairs.map((p) => Math.hypot(p.x - centre.cx, p.y - centre.cy)));
  for (const [i, p] of pairs.entries())
    for (const q of pairs.slice(i + 1)) {
      if (Math.hypot(p.x - q.x, p.y - q.y) < reach / 2) continue;
      const fit = fitSimilarity(
        [
          { ...p, weight: 1 },
          { ...q, weight: 1 },
        ],
        centre,
      );
      if (fit === undefined) continue;
      const scale = scaleOf(fit.map);
      if (scale >= SCALES[0] && scale <= SCALES[1]) yield fit.map;
    }
};
