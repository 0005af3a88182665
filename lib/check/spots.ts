import { median } from '../plane/robust.ts';
import type { Defect } from './defects.ts';
import type { PointFound } from './look/points.ts';
import { type Grid, gridAt } from './planes/local-spread.ts';
import { type CheckSizes, SQUARES } from './sizes.ts';

/** Light of a spot over its spread, at least. */
const SPOT = 8;
/** Size of a spot over that of stars of its line: what is no sharper than they are is in the sky, a knot or a blend. */
const SIZE = 0.85;
/** Spots that stand out so far on average are sure. */
const SURE = 12;
/** Stars stand out so far in all lines, and so many tell how bright they are in one line against another. */
const STAR = 6;
const STARS = 8;
/** A star as bright would have so much of the usual light in another line, which would stand out so far there. */
const PART = 0.3;
const SHOWS = 5;
/** And less than this part of that is there, and so much of its spread. */
const MISSING = 0.25;
const MISSING_SPREAD = 1.5;

/** Points of all lines, and how much the light of points is spread in each. */
export interface PointsOfLines {
  readonly names: readonly string[];
  readonly points: readonly PointFound[];
  /** Of each line, a number a tile. */
  readonly spread: readonly Grid[];
}

/** A bright point that only one line has. */
export interface Spot {
  readonly line: number;
  readonly x: number;
  readonly y: number;
  readonly height: number;
  readonly standing: number;
}

/** Spots, and the lines in which they cannot be told from stars. */
export interface SpotsOfLines {
  readonly spots: readonly Spot[];
  readonly untold: readonly string[];
}

/**
 * Bright points in one line where a star would show in another too (an idea of van Dokkum 2001, PASP 113:1420, that what is
 * sharp and alone is no star). None where there is no other line, or too few stars tell how bright they are in it.
 */
export const spotsOf = ({ points, spread, names }: PointsOfLines, sizes: CheckSizes): SpotsOfLines => {
  const spreadAt = (k: number, { x, y }: PointFound): number => gridAt(spread[k]!, tiledSize(spread[k]!, sizes), x, y);
  const stars = points.filter((point) => point.light.every((light, k) => light > STAR * spreadAt(k, point)));
  const ratios = starRatios(stars, names.length);
  const usual = names.map((_, k) => median(stars.filter(({ line }) => line === k).map(({ size }) => size)));
  const untold = names.filter((_, line) => ratios[line]!.every((ratio, k) => k === line || ratio === undefined));
  const spots = points.flatMap((point): Spot | [] => {
    const { line, x, y, height } = point;
    const light = point.light[line]!;
    const standing = light / spreadAt(line, point);
    if (!(standing > SPOT) || !(point.size < SIZE * usual[line]!)) return [];
    const alone = names.some((_, k) => {
      const ratio = k === line ? undefined : ratios[line]![k];
      if (ratio === undefined) return false;
      const expected = PART * ratio * light;
      const around = spreadAt(k, point);
      return expected > SHOWS * around && point.most[k]! < MISSING * expected + MISSING_SPREAD * around;
    });
    return alone ? { line, x, y, height, standing } : [];
  });
  return { spots, untold };
};

const tiledSize = ({ across, down }: Grid, { square }: CheckSizes) => ({
  width: across * SQUARES * square,
  height: down * SQUARES * square,
});

/** How bright stars are in a line against another: of line, then of the other; undefined where too few show it. */
const starRatios = (stars: readonly PointFound[], lines: number): (number | undefined)[][] =>
  Array.from({ length: lines }, (_, line) => {
    const own = stars.filter((star) => star.line === line);
    return Array.from({ length: lines }, (_, k) =>
      own.length < STARS ? undefined : Math.exp(median(own.map(({ light }) => Math.log(light[k]! / light[line]!)))),
    );
  });

/** The spots of each line as one defect, without those that lie on its trails. */
export const spotDefects = (spots: readonly Spot[], names: readonly string[], trails: readonly Defect[]): Defect[] =>
  names.flatMap((channel, line): Defect | [] => {
    const along = trails.filter((trail) => trail.channel === channel && trail.kind === 'trail');
    const own = spots.filter((spot) => spot.line === line && !along.some((trail) => liesOn(spot, trail)));
    if (own.length === 0) return [];
    const [x, y] = [own.map((spot) => spot.x), own.map((spot) => spot.y)];
    return {
      kind: 'spots',
      channel,
      from: [Math.min(...x), Math.min(...y)],
      to: [Math.max(...x), Math.max(...y)],
      depth: median(own.map(({ height }) => height)),
      score: median(own.map(({ standing }) => standing)),
      sign: 1,
      certainty: median(own.map(({ standing }) => standing)) >= SURE ? 'sure' : 'possible',
      count: own.length,
      places: own.map((spot) => [spot.x, spot.y] as const).sort((a, b) => a[1] - b[1] || a[0] - b[0]),
    };
  });

/** Pixels beside a trail that belong to it. */
const BESIDE = 2;

const liesOn = ({ x, y }: Spot, { from, to, width }: Defect): boolean => {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const off = Math.abs((y - from[1]) * dx - (x - from[0]) * dy) / Math.hypot(dx, dy);
  return off <= (width ?? 1) / 2 + BESIDE;
};
