/**
 * How positions in one picture map to another about a centre c: q = c + s·R(θ)·(p − c) + d,
 * with s·R(θ) = [a −b; b a]. Pixels, x right, y down, so a positive angle turns clockwise as seen.
 */
export interface Similarity {
  readonly a: number;
  readonly b: number;
  readonly dx: number;
  readonly dy: number;
  readonly cx: number;
  readonly cy: number;
}

const DEGREES = 180 / Math.PI;

/** @param rotation degrees, clockwise as seen */
export const similarity = (
  centre: { readonly cx: number; readonly cy: number },
  dx = 0,
  dy = 0,
  rotation = 0,
  scale = 1,
): Similarity => ({
  a: scale * Math.cos(rotation / DEGREES),
  b: scale * Math.sin(rotation / DEGREES),
  dx,
  dy,
  cx: centre.cx,
  cy: centre.cy,
});

export const mapPoint = (t: Similarity, x: number, y: number): [x: number, y: number] => {
  const u = x - t.cx;
  const v = y - t.cy;
  return [t.cx + t.a * u - t.b * v + t.dx, t.cy + t.b * u + t.a * v + t.dy];
};

export const scaleOf = ({ a, b }: Similarity): number => Math.hypot(a, b);

/** Degrees, −180…180, clockwise as seen. */
export const rotationOf = ({ a, b }: Similarity): number => Math.atan2(b, a) * DEGREES;

/** A point in one picture and where it was found in the other. */
export interface Pair {
  readonly x: number;
  readonly y: number;
  readonly toX: number;
  readonly toY: number;
  readonly weight: number;
}

export interface Fit {
  readonly map: Similarity;
  /** Root mean square of the distances that remain, weighted, in pixels. */
  readonly residual: number;
  /** Standard deviations that the scatter implies: of each shift in pixels, of the angle in degrees, of the scale. */
  readonly uncertainty: { readonly shift: number; readonly rotation: number; readonly scale: number };
}

/**
 * Weighted least-squares similarity (S. Umeyama, IEEE Trans. PAMI 13(4) 376–380, 1991; in two dimensions linear in
 * a, b and d). Undefined for fewer than two different points.
 */
export const fitSimilarity = (pairs: readonly Pair[], centre: { cx: number; cy: number }): Fit | undefined => {
  const total = pairs.reduce((sum, p) => sum + p.weight, 0);
  const mean = (of: (p: Pair) => number) => pairs.reduce((sum, p) => sum + p.weight * of(p), 0) / total;
  const [mx, my, mu, mv] = [mean((p) => p.x), mean((p) => p.y), mean((p) => p.toX), mean((p) => p.toY)];
  const spread = mean((p) => (p.x - mx) ** 2 + (p.y - my) ** 2);
  if (!(total > 0) || !(spread > 1e-9)) return undefined;
  const a = mean((p) => (p.x - mx) * (p.toX - mu) + (p.y - my) * (p.toY - mv)) / spread;
  const b = mean((p) => (p.x - mx) * (p.toY - mv) - (p.y - my) * (p.toX - mu)) / spread;
  const { cx, cy } = centre;
  const dx = mu - cx - a * (mx - cx) + b * (my - cy);
  const dy = mv - cy - b * (mx - cx) - a * (my - cy);
  const map: Similarity = { a, b, dx, dy, cx, cy };
  const squares = mean((p) => distance(map, p) ** 2);
  const effective = total ** 2 / pairs.reduce((sum, p) => sum + p.weight ** 2, 0);
  // Each point gives two numbers, four are fitted; per coordinate the scatter is that of one axis.
  const free = Math.max(0.5, 2 * effective - 4);
  const variance = (squares * effective) / free;
  const offCentre = ((mx - cx) ** 2 + (my - cy) ** 2) / spread;
  const turn = Math.sqrt(variance / (effective * spread));
  const scale = scaleOf(map);
  return {
    map,
    residual: Math.sqrt(squares),
    uncertainty: {
      shift: Math.sqrt((variance / effective) * (1 + offCentre)),
      rotation: (turn / scale) * DEGREES,
      scale: turn,
    },
  };
};

/** How far a pair lies from where the map puts it, in pixels. */
export const distance = (map: Similarity, p: Pair): number => {
  const [x, y] = mapPoint(map, p.x, p.y);
  return Math.hypot(p.toX - x, p.toY - y);
};

/** The largest distance, over the corners and the centre of the frame, by which the map moves a point. */
export const largestMove = (map: Similarity, width: number, height: number): number =>
  Math.max(
    ...[
      [0, 0],
      [width - 1, 0],
      [0, height - 1],
      [width - 1, height - 1],
      [map.cx, map.cy],
    ].map(([x, y]) => {
      const [u, v] = mapPoint(map, x!, y!);
      return Math.hypot(u - x!, v - y!);
    }),
  );
