import type { Matrix4 } from './four.ts';

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

/** The point about which a similarity turns. */
export interface Centre {
  readonly cx: number;
  readonly cy: number;
}

/** Half of a frame about its centre: where a similarity errs most. */
export interface Corner {
  readonly x: number;
  readonly y: number;
}

const DEGREES = 180 / Math.PI;

/** @param rotation degrees, clockwise as seen */
export const similarity = (centre: Centre, dx = 0, dy = 0, rotation = 0, scale = 1): Similarity => ({
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

/** First `inner`, then `outer`; both about one centre. */
export const compose = (outer: Similarity, inner: Similarity): Similarity => ({
  ...outer,
  a: outer.a * inner.a - outer.b * inner.b,
  b: outer.b * inner.a + outer.a * inner.b,
  dx: outer.dx + outer.a * inner.dx - outer.b * inner.dy,
  dy: outer.dy + outer.b * inner.dx + outer.a * inner.dy,
});

export const scaleOf = ({ a, b }: Similarity): number => Math.hypot(a, b);

/** Degrees, −180…180, clockwise as seen. */
export const rotationOf = ({ a, b }: Similarity): number => Math.atan2(b, a) * DEGREES;

/** How far apart two maps put the worst corner, in pixels; `corner` is half of the frame about their common centre. */
export const mapDistance = (p: Similarity, q: Similarity, corner: Corner): number =>
  Math.max(
    ...SIGNS.map(([i, j]) => {
      const [x, y] = [i * corner.x, j * corner.y];
      const [a, b] = [q.a - p.a, q.b - p.b];
      return Math.hypot(q.dx - p.dx + a * x - b * y, q.dy - p.dy + b * x + a * y);
    }),
  );

const SIGNS = [
  [-1, -1],
  [1, -1],
  [-1, 1],
  [1, 1],
  [0, 0],
] as const;

/** Standard deviation (over both axes together) of where a map with this covariance of dx, dy, a, b puts a corner. */
export const cornerSpread = (c: Matrix4, corner: Corner): number =>
  Math.sqrt(
    Math.max(
      ...SIGNS.map(([i, j]) => {
        const [x, y] = [i * corner.x, j * corner.y];
        const across = [1, 0, x, -y];
        const down = [0, 1, y, x];
        const along = (u: readonly number[]) =>
          u.reduce((sum, ui, k) => sum + ui * u.reduce((all, uj, l) => all + uj * c[k]![l]!, 0), 0);
        return along(across) + along(down);
      }),
    ),
  );

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
