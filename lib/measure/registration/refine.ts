import { type Matrix4, solve4, sumOuter } from './four.ts';
import { createSquare, cutReference, type Square, sampleOther, type TilePair } from './patches.ts';
import { compose, type Similarity } from './similarity.ts';

/** What one tile says about a map: how alike both pictures are through it, and which way they would be more so. */
interface Slope {
  /** Correlation, −1…1; 0 where the tile has too little in common. */
  readonly alike: number;
  readonly gx: number;
  readonly gy: number;
  readonly hxx: number;
  readonly hxy: number;
  readonly hyy: number;
}

/** A tile's own word: the shift that remains through the map, pixels of the reference; weight 0 where it was left out. */
export interface Remains {
  readonly dx: number;
  readonly dy: number;
  readonly weight: number;
}

export interface Refined {
  readonly map: Similarity;
  /** Covariance of (dx, dy, a, b) from leaving out each tile in turn. */
  readonly covariance: Matrix4;
  /** Whether the last step was short and the maximum is one. */
  readonly settled: boolean;
  readonly tiles: readonly Remains[];
}

const ROUNDS = 12;
/** Pixels by which the last step may still move the corners of the tiles. */
const SHORT = 0.01;
/** A tile with less of both pictures than this share is left out. */
const LEAST_KNOWN = 0.4;
/** How far a tile's pull may exceed the median one before it counts less (P. J. Huber, Ann. Math. Stat. 35, 73, 1964). */
const HUBER = 2.5 * 1.2;
/** Fewer tiles than this have no spread to speak of. */
const FEWEST = 5;

/**
 * Climbs by Newton's steps from `start` to where the tiles are most alike. The correlation at a shift l is taken both
 * ways, ½Σ[A(x)B(x + l) + B(x)A(x − l)]: what a window's edges add to one they take from the other, so that they pull
 * nowhere.
 * @param scale standard deviation of the features compared, pixels
 * @returns undefined where too few tiles have something in common
 */
export const refine = (tiles: readonly TilePair[], start: Similarity, scale: number): Refined | undefined => {
  const side = tiles[0]?.side;
  if (side === undefined) return undefined;
  const arms = tiles.map(({ x, y }) => [x + (side - 1) / 2 - start.cx, y + (side - 1) / 2 - start.cy] as const);
  const farthest = Math.max(1, ...arms.map(([x, y]) => Math.hypot(x, y)));
  const slopes = slopeFinder(side, Math.max(1, Math.round(0.8 * scale)));
  let map = start;
  for (let round = 0; ; round++) {
    const found = tiles.map((tile) => slopes(tile, map));
    const weights = weigh(found);
    if (weights.filter((w) => w > 0).length < FEWEST) return undefined;
    const system = assemble(found, weights, arms, farthest);
    const { step, peaked } = climb(system, 1.5 * scale);
    map = moved(map, step, farthest);
    const move = Math.hypot(step[0], step[1]) + Math.hypot(step[2], step[3]);
    const short = move < SHORT && round > 1;
    if (!short && round + 1 < ROUNDS) continue;
    return {
      map,
      covariance: jackknife(system, farthest),
      settled: peaked && move < 0.05,
      tiles: found.map((slope, t) => remains(slope, weights[t]!, scale)),
    };
  }
};

type Arms = readonly (readonly [x: number, y: number])[];
type Four = readonly [number, number, number, number];

/**
 * Unknowns are a shift and the moves that growth and turn make of the farthest tile, all in pixels of the reference: that
 * is where the shifts between tiles are seen, so the map follows them.
 */
const moved = (map: Similarity, [dx, dy, growth, turn]: Four, farthest: number): Similarity =>
  compose(map, { ...map, a: 1 + growth / farthest, b: turn / farthest, dx, dy });

/** Compares a tile at nine shifts of 0 and ± `reach` pixels, and fits a parabola to them. */
const slopeFinder = (side: number, reach: number): ((tile: TilePair, map: Similarity) => Slope) => {
  const whole = side + 2 * reach;
  const [a, b] = [createSquare(whole), createSquare(whole)];
  const there = new Float32Array(whole * whole);
  return (tile, map) => {
    sampleOther(tile, map, reach, there, b);
    cutReference(tile, reach, there, a);
    const norm = Math.sqrt(dot(a, a, side, reach, 0) * dot(b, b, side, reach, 0));
    if (!(norm > 1e-6) || shareOf(there, whole, side, reach) < LEAST_KNOWN)
      return { alike: 0, gx: 0, gy: 0, hxx: 0, hxy: 0, hyy: 0 };
    const at = (i: number, j: number) => {
      const lag = reach * (j * whole + i);
      return (dot(a, b, side, reach, lag) + dot(b, a, side, reach, -lag)) / (2 * norm);
    };
    return parabola(at, reach);
  };
};

/**
 * Sum over a tile of a(x)·b(x + lag), lag in places of the square; `side` is a multiple of 4. Each
 * addition waits for the one before it in its sum, so there are four.
 */
const dot = (a: Square, b: Square, side: number, margin: number, lag: number): number => {
  const one = a.values;
  const other = b.values;
  let [s0, s1, s2, s3] = [0, 0, 0, 0];
  for (let v = 0; v < side; v++) {
    const at = (v + margin) * a.side + margin;
    for (let i = at; i < at + side; i += 4) {
      s0 += one[i]! * other[i + lag]!;
      s1 += one[i + 1]! * other[i + 1 + lag]!;
      s2 += one[i + 2]! * other[i + 2 + lag]!;
      s3 += one[i + 3]! * other[i + 3 + lag]!;
    }
  }
  return s0 + s1 + (s2 + s3);
};

const shareOf = (there: Float32Array, whole: number, side: number, margin: number): number => {
  let sum = 0;
  for (let v = 0; v < side; v++) for (let u = 0; u < side; u++) sum += there[(v + margin) * whole + u + margin]!;
  return sum / (side * side);
};

/** Least squares of a surface of second order through 3 × 3 values, `reach` pixels apart. */
const parabola = (at: (i: number, j: number) => number, reach: number): Slope => {
  const [nw, n, ne] = [at(-1, -1), at(0, -1), at(1, -1)];
  const [w, middle, e] = [at(-1, 0), at(0, 0), at(1, 0)];
  const [sw, s, se] = [at(-1, 1), at(0, 1), at(1, 1)];
  const sixth = 1 / (6 * reach);
  const third = 1 / (3 * reach * reach);
  return {
    alike: middle,
    gx: (ne + e + se - nw - w - sw) * sixth,
    gy: (sw + s + se - nw - n - ne) * sixth,
    hxx: (ne + e + se + nw + w + sw - 2 * (n + middle + s)) * third,
    hyy: (sw + s + se + nw + n + ne - 2 * (w + middle + e)) * third,
    hxy: (se + nw - ne - sw) / (4 * reach * reach),
  };
};

/** Tiles that are more alike speak more; those that pull far harder than the others speak less. */
const weigh = (slopes: readonly Slope[]): number[] => {
  const base = slopes.map(({ alike }) => (alike === 0 ? 0 : Math.max(alike, 0.02)));
  const pulls = slopes.map(({ gx, gy }, t) => base[t]! * Math.hypot(gx, gy));
  const some = pulls.filter((_, t) => base[t]! > 0).sort((p, q) => p - q);
  const usual = some[some.length >> 1] ?? 0;
  return base.map((w, t) => w * Math.min(1, (HUBER * usual) / Math.max(pulls[t]!, 1e-12)));
};

interface System {
  readonly gradient: Four;
  readonly hessian: Matrix4;
  /** What each tile adds to both; those without weight are left out. */
  readonly parts: readonly { readonly gradient: Four; readonly hessian: Matrix4 }[];
}

const assemble = (slopes: readonly Slope[], weights: readonly number[], arms: Arms, farthest: number): System => {
  const parts = slopes.flatMap(({ gx, gy, hxx, hxy, hyy }, t) => {
    const w = weights[t]!;
    if (w === 0) return [];
    const [x, y] = [arms[t]![0] / farthest, arms[t]![1] / farthest];
    // How the tile moves with each unknown.
    const across: Four = [1, 0, x, -y];
    const down: Four = [0, 1, y, x];
    const gradient = across.map((u, i) => w * (u * gx + down[i]! * gy)) as unknown as Four;
    const hessian = across.map((u, i) =>
      across.map((v, k) => w * (hxx * u * v + hxy * (u * down[k]! + down[i]! * v) + hyy * down[i]! * down[k]!)),
    );
    return [{ gradient, hessian }];
  });
  const gradient = [0, 1, 2, 3].map((i) => parts.reduce((sum, part) => sum + part.gradient[i]!, 0));
  return { parts, gradient: gradient as unknown as Four, hessian: sumOuter(parts.map(({ hessian }) => hessian)) };
};

/** Newton's step −H⁻¹g, no longer than `most`; where the surface is no peak, up the slope instead. */
const climb = ({ gradient, hessian }: System, most: number): { step: Four; peaked: boolean } => {
  const { solution, definite } = solve4(hessian, gradient);
  const step = solution.map((v) => -v);
  const move = Math.hypot(step[0]!, step[1]!) + Math.hypot(step[2]!, step[3]!);
  const factor = move > most ? most / move : 1;
  return { step: step.map((v) => v * factor) as unknown as Four, peaked: definite };
};

/**
 * Covariance of the answer from what it would be without each tile (M. H. Quenouille, J. W. Tukey: the jackknife; B.
 * Efron & C. Stein, Ann. Stat. 9(3) 586–596, 1981), by one step of Newton each.
 */
const jackknife = ({ gradient, hessian, parts }: System, farthest: number): Matrix4 => {
  const answers = parts.map((part) => {
    const h = hessian.map((row, i) => row.map((v, k) => v - part.hessian[i]![k]!));
    const g = gradient.map((v, i) => v - part.gradient[i]!) as unknown as Four;
    return solve4(h, g).solution;
  });
  const n = answers.length;
  const mean = [0, 1, 2, 3].map((i) => answers.reduce((sum, answer) => sum + answer[i]!, 0) / n);
  const unit = [1, 1, 1 / farthest, 1 / farthest];
  return mean.map((mi, i) =>
    mean.map((mk, k) => {
      const sum = answers.reduce((all, answer) => all + (answer[i]! - mi) * (answer[k]! - mk), 0);
      return ((n - 1) / n) * sum * unit[i]! * unit[k]!;
    }),
  );
};

/** Where a tile alone would go; nowhere, and without weight, where it has no peak of its own nearby. */
const remains = ({ gx, gy, hxx, hxy, hyy }: Slope, weight: number, scale: number): Remains => {
  const determinant = hxx * hyy - hxy * hxy;
  const none = { dx: 0, dy: 0, weight: 0 };
  if (weight === 0 || !(hxx < 0) || !(determinant > 0)) return none;
  const dx = -(hyy * gx - hxy * gy) / determinant;
  const dy = -(hxx * gy - hxy * gx) / determinant;
  return Math.hypot(dx, dy) < scale ? { dx, dy, weight } : none;
};
