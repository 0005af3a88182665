import { median } from '../../plane/robust.ts';
import type { Counted } from './aim.ts';
import type { MeasuredTrail } from './measure-line.ts';
import { acrossStrip, alongRay, rayAt, type Strip, stripAlong } from './strip.ts';

/** What a trail looks like across, in pixels of the plane. */
export interface Profile {
  /** Full width at half height. */
  readonly width: number;
  /** Height of its middle above its sides, in the units of the plane. */
  readonly depth: number;
}

/**
 * Looks across a trail, on average over its whole way, in a plane whose pixels are finer by `times` than those it was found in.
 * @param plane values 0 where they have no weight
 */
export const profileOf = (plane: Counted, trail: MeasuredTrail, times: number): Profile => {
  const { ray, start, end, sign } = trail;
  const wide = trail.width * times;
  const half = Math.ceil(3 * wide + 8);
  const [x, y] = alongRay(ray, 0).map((at) => at * times + (times - 1) / 2) as [number, number];
  const finer = rayAt(x, y, Math.atan2(ray.dy, ray.dx));
  const strip = stripAlong(plane, plane, finer, start * times, end * times, half);
  const profile = usualProfile(strip).map((value) => sign * value);
  const away = 1.5 * wide + 2;
  const [left, right] = [-1, 1].map((side) => median(profile.filter((_, k) => side * (k - half) > away)));
  // What lies under a trail may rise from one side to the other.
  const height = (k: number) => (profile[k] ?? Number.NaN) - left! - ((right! - left!) * k) / (2 * half);
  let top = half;
  for (let k = half - Math.ceil(wide); k <= half + wide; k++) if (height(k) > height(top)) top = k;
  const width = crossing(height, top, 1, half) - crossing(height, top, -1, half);
  const reach = Math.floor(width / 4);
  let middle = 0;
  for (let k = top - reach; k <= top + reach; k++) middle += height(k);
  return { width, depth: middle / (2 * reach + 1) };
};

/** Parts of a trail's way; a star in one of them changes nothing. */
const PARTS = 24;

/** The median over parts of the way, for each place across. */
const usualProfile = (strip: Strip): number[] => {
  const parts = Array.from({ length: PARTS }, (_, part) => {
    const [from, to] = [part, part + 1].map((k) => Math.floor((k * strip.length) / PARTS));
    const { light, weight } = acrossStrip(strip, from, to);
    return Array.from(light, (sum, k) => (weight[k]! > 0 ? sum / weight[k]! : Number.NaN));
  });
  return Array.from({ length: 2 * strip.half + 1 }, (_, k) =>
    median(parts.map((part) => part[k]!).filter((value) => !Number.isNaN(value))),
  );
};

/** Where a profile falls below half of its top, between two pixels, at most `most` pixels away. */
const crossing = (height: (k: number) => number, top: number, step: 1 | -1, most: number): number => {
  const middle = height(top) / 2;
  let k = top;
  while (Math.abs(k - top) < most && height(k + step) > middle) k += step;
  const [inside, outside] = [height(k), height(k + step)];
  return k + step * ((inside - middle) / Math.max(1e-12, inside - outside));
};
