import type { Size } from '../planes/blur.ts';
import type { EvenLine } from './even-lines.ts';
import { acrossStrip, alongRay, chordOf, type Ray, rayAt, stripAlong } from './strip.ts';

/** A plane and where it counts. */
export interface Counted extends Size {
  readonly values: Float32Array;
  readonly weights: Float32Array;
}

/** Shorter stretches in the frame have no angle. */
const SHORTEST = 20;
/** Angles tried in each direction; first a pixel apart at the end, then finer. */
const TRIES = 6;
const FINER = [1, 0.3];

/** The ray that a line lies on most plainly, through the middle of what was found of it; undefined where it is too short. */
export const aim = (plane: Counted, line: EvenLine): Ray | undefined => {
  const [dx, dy] = [line.to[0] - line.from[0], line.to[1] - line.from[1]];
  const length = Math.hypot(dx, dy);
  let angle = Math.atan2(dy, dx);
  const whole = rayAt(...line.from, angle);
  const [enters, leaves] = chordOf(whole, plane);
  const [start, end] = [Math.max(0, enters), Math.min(length, leaves)];
  if (end - start < SHORTEST) return undefined;
  let [x, y] = alongRay(whole, (start + end) / 2);
  for (const finer of FINER) {
    const step = finer / (end - start);
    let best: { peak: number; across: number; angle: number } | undefined;
    for (let k = -TRIES; k <= TRIES; k++) {
      const tried = angle + k * step;
      const found = peakAcross(plane, rayAt(x, y, tried), (end - start) / 2, line);
      if (best === undefined || found.peak > best.peak) best = { ...found, angle: tried };
    }
    angle = best!.angle;
    [x, y] = alongRay(rayAt(x, y, angle), 0, best!.across);
  }
  return rayAt(x, y, angle);
};

/** Where across a ray the mean over the line's width stands out most. */
const peakAcross = (plane: Counted, ray: Ray, halfLength: number, { width, score }: EvenLine) => {
  const reach = Math.max(4, 2 * width);
  const half = reach + width;
  const { light, weight } = acrossStrip(stripAlong(plane, plane, ray, -halfLength, halfLength, half));
  const before = width >> 1;
  let [peak, across] = [Number.NEGATIVE_INFINITY, 0];
  for (let s = -reach; s <= reach; s++) {
    let [sum, known] = [0, 0];
    for (let k = s + half - before; k < s + half - before + width; k++) {
      sum += light[k]!;
      known += weight[k]!;
    }
    const out = (Math.sign(score) * sum) / Math.sqrt(Math.max(1, known));
    if (out > peak) [peak, across] = [out, s + (width - 1) / 2 - before];
  }
  return { peak, across };
};
