import { MAD_TO_SIGMA, median } from '../plane/robust.ts';
import type { Defect } from './defects.ts';
import type { Counted } from './lines/aim.ts';
import { apart } from './lines/apart.ts';
import type { EvenLine } from './lines/even-lines.ts';
import { acrossStrip, alongRay, bandOf, chordOf, rayAt, stripAlong } from './lines/strip.ts';
import type { SquareNoise } from './look/square-noise.ts';
import type { Size } from './planes/blur.ts';

/** Classes of brightness whose usual noise is taken out. */
const CLASSES = 24;
/** Deviations from what is usual count up to so many times their spread. */
const CLIP = 3;
/** Squares beside a seam whose noise is compared, and pieces that it is followed in. */
const BESIDE = 8;
const PIECES = 24;
/** Most seams of a master. */
const MOST = 4;
/** A seam with this score and this ratio of noise is sure; one with less than the least is none. */
const SURE = 8;
const SURE_RATIO = 1.1;
const LEAST_RATIO = 1.03;

/** The noise of squares, its dependence on brightness taken out: the logarithm, 0 on average, over its spread. */
export interface NoisePlane extends Counted {
  readonly spread: number;
}

/** How much noisier each square is than others of its brightness. */
export const noisePlane = ({ noise, level }: SquareNoise, { width, height }: Size): NoisePlane => {
  const known = [...noise.keys()].filter((i) => noise[i]! > 0).sort((a, b) => level[a]! - level[b]!);
  const left = new Float64Array(noise.length);
  const usual = usualNoise(known, noise, level);
  for (const i of known) left[i] = Math.log(noise[i]!) - usual(level[i]!);
  const middle = median(known.map((i) => left[i]!));
  const spread = Math.max(1e-9, MAD_TO_SIGMA * median(known.map((i) => Math.abs(left[i]! - middle))));
  const [values, weights] = [new Float32Array(noise.length), new Float32Array(noise.length)];
  for (const i of known) {
    values[i] = Math.max(-CLIP, Math.min(CLIP, (left[i]! - middle) / spread));
    weights[i] = 1;
  }
  return { width, height, values, weights, spread };
};

/** Median logarithm of the noise by brightness, linear between the medians of classes. */
const usualNoise = (rising: readonly number[], noise: Float32Array, level: Float32Array) => {
  const nodes = Array.from({ length: CLASSES }, (_, k) =>
    rising.slice(Math.floor((k * rising.length) / CLASSES), Math.floor(((k + 1) * rising.length) / CLASSES)),
  )
    .filter((of) => of.length > 0)
    .map((of) => ({
      at: median(of.map((i) => level[i]!)),
      value: median(of.map((i) => Math.log(noise[i]!))),
    }));
  return (at: number): number => {
    const after = nodes.findIndex((node) => node.at >= at);
    if (after <= 0) return nodes[after === 0 ? 0 : nodes.length - 1]!.value;
    const [a, b] = [nodes[after - 1]!, nodes[after]!];
    return a.value + ((b.value - a.value) * (at - a.at)) / Math.max(1e-12, b.at - a.at);
  };
};

/** The seams of a line: where the number of averaged frames changes. @param square side of the plane's pixels */
export const seamsOf = (channel: string, lines: readonly EvenLine[], plane: NoisePlane, square: number): Defect[] =>
  apart(lines, MOST).flatMap((line) => {
    const seam = follow(line, plane);
    if (seam === undefined || seam.ratio < LEAST_RATIO) return [];
    const whole = (at: readonly number[]) => at.map((v) => v * square + (square - 1) / 2) as [number, number];
    const score = Math.abs(line.score);
    return {
      kind: 'seam',
      channel,
      from: whole(seam.from),
      to: whole(seam.to),
      angle: seam.angle,
      score,
      certainty: score >= SURE && seam.ratio >= SURE_RATIO ? 'sure' : 'possible',
      noiseRatio: seam.ratio,
    };
  });

/** Follows a step over the frame: the longest run of pieces whose sides differ as the whole does. */
const follow = ({ from, to }: EvenLine, plane: NoisePlane) => {
  const angle = Math.atan2(to[1] - from[1], to[0] - from[0]);
  const ray = rayAt(...from, angle);
  const [enters, leaves] = chordOf(ray, plane);
  const strip = stripAlong(plane, plane, ray, enters, leaves, BESIDE);
  const steps = Array.from({ length: PIECES }, (_, piece) => {
    const [a, b] = [piece, piece + 1].map((k) => Math.floor((k * strip.length) / PIECES));
    const across = acrossStrip(strip, a, b);
    const left = bandOf(across, BESIDE, 0.5, BESIDE / 2, -BESIDE / 2);
    const right = bandOf(across, BESIDE, 0.5, BESIDE / 2, BESIDE / 2);
    return left.weight > 0 && right.weight > 0 ? right.light / right.weight - left.light / left.weight : Number.NaN;
  });
  const whole = median(steps.filter((step) => !Number.isNaN(step)));
  const run = longestRun(steps.map((step) => Number.isNaN(step) || step * Math.sign(whole) > 0));
  if (run === undefined) return undefined;
  const inside = steps.slice(run[0], run[1] + 1).filter((step) => !Number.isNaN(step));
  if (inside.length === 0) return undefined;
  const end = (k: number) => alongRay(ray, enters + (k * (leaves - enters)) / PIECES);
  return {
    from: end(run[0]),
    to: end(run[1] + 1),
    angle: ((((angle * 180) / Math.PI) % 180) + 180) % 180,
    ratio: Math.exp(Math.abs(median(inside)) * plane.spread),
  };
};

const longestRun = (holds: readonly boolean[]): [first: number, last: number] | undefined => {
  let best: [number, number] | undefined;
  let start = 0;
  for (const [i, held] of holds.entries()) {
    if (!held) start = i + 1;
    else if (best === undefined || i - start > best[1] - best[0]) best = [start, i];
  }
  return best;
};
