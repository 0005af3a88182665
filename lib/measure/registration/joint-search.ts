import type { Centre } from './similarity.ts';
import type { Surface } from './surfaces.ts';

/** A place of the search: by how much the other picture lies right and below, and a − 1 and b of its similarity. */
export interface Place {
  readonly dx: number;
  readonly dy: number;
  readonly growth: number;
  readonly turn: number;
  /** Sum of the surfaces there over the square root of their number: standard deviations of an accident. */
  readonly height: number;
}

export interface Found {
  readonly best: Place;
  /** The highest place that puts most of the frame elsewhere; 0 where there is none. */
  readonly elsewhere: number;
}

/** Turns (radians) and changes of scale looked for. */
const [TURN, GROWTH] = [(4 * Math.PI) / 180, 0.02];

/**
 * Looks for the similarity on which all tiles agree best: at each turn and scale the surfaces are added as that would
 * shift them, so no tile needs a peak of its own. Steps move the farthest tile by one step of the lags.
 * @param centre about which it turns
 * @param apart places whose tiles lie farther apart than this (median, pixels) are different answers
 */
export const jointSearch = (surfaces: readonly Surface[], centre: Centre, apart: number): Found | undefined => {
  const [first] = surfaces;
  if (first === undefined) return undefined;
  const { side } = first;
  const arms = surfaces.map(({ x, y }) => [x - centre.cx, y - centre.cy] as const);
  const farthest = Math.max(...arms.map(([x, y]) => Math.hypot(x, y)));
  const step = first.step / farthest;
  const sum = new Float32Array(side * side);
  const places: Place[] = [];
  for (let i = -Math.ceil(GROWTH / step); i <= Math.ceil(GROWTH / step); i++)
    for (let j = -Math.ceil(TURN / step); j <= Math.ceil(TURN / step); j++)
      places.push(highest(surfaces, arms, i * step, j * step, sum));
  places.sort((p, q) => q.height - p.height);
  const best = places[0]!;
  return { best, elsewhere: places.find((place) => spreadOf(best, place, arms) > apart)?.height ?? 0 };
};

type Arms = readonly (readonly [x: number, y: number])[];

const highest = (surfaces: readonly Surface[], arms: Arms, growth: number, turn: number, sum: Float32Array): Place => {
  const { side, step } = surfaces[0]!;
  const middle = (side - 1) / 2;
  sum.fill(0);
  for (const [t, { values }] of surfaces.entries()) {
    const [x, y] = arms[t]!;
    addShifted(
      sum,
      values,
      side,
      Math.round((growth * x - turn * y) / step),
      Math.round((turn * x + growth * y) / step),
    );
  }
  let at = 0;
  for (let i = 1; i < sum.length; i++) if (sum[i]! > sum[at]!) at = i;
  return {
    dx: ((at % side) - middle) * step,
    dy: (Math.floor(at / side) - middle) * step,
    growth,
    turn,
    height: sum[at]! / Math.sqrt(surfaces.length),
  };
};

/** Adds to each shift what the surface holds `right` and `down` of it; nothing beyond its edge. */
const addShifted = (sum: Float32Array, values: Float32Array, side: number, right: number, down: number): void => {
  const from = Math.max(0, -right);
  const to = Math.min(side, side - right);
  for (let y = Math.max(0, -down); y < Math.min(side, side - down); y++) {
    const other = (y + down) * side + right;
    for (let x = from; x < to; x++) sum[y * side + x] = sum[y * side + x]! + values[other + x]!;
  }
};

/** Median distance, over the tiles, between where two places put them. */
const spreadOf = (p: Place, q: Place, arms: Arms): number => {
  const [growth, turn] = [q.growth - p.growth, q.turn - p.turn];
  const distances = arms.map(([x, y]) =>
    Math.hypot(q.dx - p.dx + growth * x - turn * y, q.dy - p.dy + turn * x + growth * y),
  );
  return distances.sort((a, b) => a - b)[distances.length >> 1]!;
};
