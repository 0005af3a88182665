import { median, sorted } from '../../plane/robust.ts';
import { aim, type Counted } from './aim.ts';
import type { EvenLine } from './even-lines.ts';
import { type Straightness, straightnessOf } from './straightness.ts';
import { acrossStrip, alongRay, bandOf, chordOf, type Ray, type Strip, stripAlong } from './strip.ts';

/** A line that is followed over the frame, in pixels of the plane. */
export interface MeasuredTrail extends Straightness {
  readonly ray: Ray;
  /** Where it begins and ends along the ray. */
  readonly start: number;
  readonly end: number;
  readonly from: readonly [x: number, y: number];
  readonly to: readonly [x: number, y: number];
  readonly sign: 1 | -1;
  /** Of the even line that it was found by. */
  readonly score: number;
  /** At half height. */
  readonly width: number;
  /** Median height of its pieces, in the units of the plane. */
  readonly depth: number;
  /** Over its noise. */
  readonly standing: number;
  /** Share of its pieces that stand out at all, and of the light that the brightest quarter of them holds. */
  readonly even: number;
  readonly top: number;
  /** Scatter of the heights of its pieces beyond their noise, over their mean. */
  readonly scatter: number;
  /** Share of its height that it has over the brighter of its sides; 0 where one is not known. */
  readonly sided: number;
  /** How many of its ends lie at the edge of the frame. */
  readonly ends: 0 | 1 | 2;
}

/** Share of a side that must be known. */
const LEAST_SIDE = 0.3;
/** A line is followed in so many pieces over the whole frame; it has light in at least so many. */
const PIECES = 24;
const LEAST = 3;
/** An end so near to the edge, as a share of the shorter side, lies at it. */
const AT_EDGE = 0.12;

/** Follows an even line over the frame; undefined where little of it is left. */
export const measureLine = (plane: Counted, line: EvenLine): MeasuredTrail | undefined => {
  const ray = aim(plane, line);
  if (ray === undefined) return undefined;
  const sign = line.score > 0 ? 1 : -1;
  const [enters, leaves] = chordOf(ray, plane);
  const strip = stripAlong(plane, plane, ray, enters, leaves, Math.max(30, 4 * line.width + 8));
  const width = widthOf(strip, sign, line.width);
  const pieces = piecesOf(strip, sign, width);
  const run = brightestRun(pieces.map(({ height }) => height));
  if (run === undefined) return undefined;
  const [first, last] = run;
  const lit = pieces.slice(first, last + 1).filter(({ height }) => !Number.isNaN(height));
  if (lit.length < LEAST) return undefined;
  const [a, b] = [bound(strip, first), bound(strip, last + 1)];
  const [start, end] = [enters + a, enters + Math.max(a, b - 1)];
  const near = AT_EDGE * Math.min(plane.width, plane.height);
  const atEdge = [start, end].filter((at) => Math.min(at - enters, leaves - at) < near);
  return {
    ...straightnessOf(strip, sign, width, a, b),
    ...evennessOf(lit),
    sided: overBrighterSide(strip, sign, width, a, b),
    ray,
    start,
    end,
    from: alongRay(ray, start),
    to: alongRay(ray, end),
    sign,
    score: line.score,
    width,
    ends: atEdge.length as 0 | 1 | 2,
  };
};

const bound = ({ length }: Strip, piece: number): number => Math.floor((piece * length) / PIECES);

/** Pixels across that are brighter than half of the peak. */
const widthOf = (strip: Strip, sign: number, width: number): number => {
  const { light, weight } = acrossStrip(strip);
  const { half } = strip;
  const profile = Array.from(light, (sum, k) => (sign * sum) / Math.max(1, weight[k]!));
  const away = profile.filter((_, k) => Math.abs(k - half) > Math.max(8, 2 * width));
  const base = median(away);
  const near = profile.filter((_, k) => Math.abs(k - half) <= width);
  const middle = base + 0.5 * (Math.max(...near) - base);
  const core = profile.filter((of, k) => Math.abs(k - half) <= Math.max(3, 3 * width) && of > middle);
  return core.length || width;
};

interface Piece {
  /** Above the sides; NaN where too little is known. */
  readonly height: number;
  readonly noise: number;
}

const piecesOf = (strip: Strip, sign: number, width: number): Piece[] => {
  const { half } = strip;
  return Array.from({ length: PIECES }, (_, piece): Piece => {
    const [from, to] = [bound(strip, piece), bound(strip, piece + 1)];
    const across = acrossStrip(strip, from, to);
    const core = bandOf(across, half, 0, Math.max(1, width / 2));
    const sides = bandOf(across, half, Math.max(2, width) + 1e-9, Math.max(8, 4 * width));
    if (core.weight < 0.25 * (to - from) * core.places || sides.weight < 10)
      return { height: Number.NaN, noise: Number.NaN };
    const height = sign * (core.light / core.weight - sides.light / sides.weight);
    return { height, noise: Math.sqrt(1 / core.weight + 1 / sides.weight) };
  });
};

/** Share of its height that the part [from, to) of a line has over the brighter of its sides; 0 where one is not known. */
const overBrighterSide = (strip: Strip, sign: number, width: number, from: number, to: number): number => {
  const { half } = strip;
  const across = acrossStrip(strip, from, to);
  const core = bandOf(across, half, 0, Math.max(1, width / 2));
  const reach = Math.max(8, 4 * width);
  const [inner, middle] = [(reach - Math.max(2, width)) / 2, (reach + Math.max(2, width)) / 2];
  const sides = [-middle, middle].map((at) => bandOf(across, half, 0, inner, at));
  if (core.weight === 0 || sides.some((side) => side.weight < LEAST_SIDE * (to - from) * side.places)) return 0;
  const heights = sides.map((side) => sign * (core.light / core.weight - side.light / side.weight));
  return Math.min(...heights) / Math.max(1e-9, (heights[0]! + heights[1]!) / 2);
};

/** The run of pieces that stand out most above half of what a good piece has. */
const brightestRun = (heights: readonly number[]): [first: number, last: number] | undefined => {
  const known = sorted(heights.filter((height) => !Number.isNaN(height)));
  if (known.length === 0) return undefined;
  const good = Math.max(0, median(known), known[Math.floor(0.75 * (known.length - 1))]!);
  let [sum, start, best] = [0, 0, -1];
  let run: [number, number] = [0, 0];
  for (const [i, height] of heights.entries()) {
    if (sum <= 0) [sum, start] = [0, i];
    sum += Number.isNaN(height) ? 0 : height - good / 2;
    if (sum > best) [best, run] = [sum, [start, i]];
  }
  return run;
};

const evennessOf = (lit: readonly Piece[]) => {
  const heights = lit.map(({ height }) => height);
  const count = heights.length;
  const mean = heights.reduce((sum, height) => sum + height, 0) / count;
  const variance = heights.reduce((sum, height) => sum + (height - mean) ** 2, 0) / count;
  const noise = lit.reduce((sum, of) => sum + of.noise ** 2, 0) / count;
  const rising = sorted(heights);
  const quarter = Math.max(1, Math.floor(count / 4));
  const brightest = rising.slice(count - quarter).reduce((sum, height) => sum + height, 0);
  const [light, weight] = lit.reduce(([l, w], of) => [l + of.height / of.noise ** 2, w + 1 / of.noise ** 2], [0, 0]);
  return {
    depth: median(heights),
    standing: light! / Math.sqrt(weight!),
    even: heights.filter((height) => height > 0).length / count,
    top: brightest / Math.max(1e-9, mean * count),
    scatter: Math.sqrt(Math.max(0, variance - noise)) / Math.max(1e-9, mean),
  };
};
