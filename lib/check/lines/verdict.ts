import type { Counted } from './aim.ts';
import type { MeasuredTrail } from './measure-line.ts';
import { acrossStrip, bandOf, stripAlong } from './strip.ts';

/** Why a line is no trail. */
export type Doubt = 'weak' | 'short' | 'one-sided' | 'uneven' | 'bent' | 'in several lines';

/** What a trail has at least. */
const STANDING = 7;
const SCORE = 9;
/** The score of a bright one from edge to edge: nothing in the sky is. */
const SCORE_ACROSS = 7;
/** Its length, as a share of the shorter side. */
const LENGTH = 0.22;
const EVEN = 0.8;
/** The share of its height that it has over the brighter of its sides: less is an edge of something. */
const SIDED = 0.4;
/** What a trail has at most. */
const TOP = 0.6;
const SCATTER = 0.7;
const SCATTER_ACROSS = 1;
/** Pixels that it may bend; a faint wide one is measured less well. */
const BEND = 0.8;
const BEND_BY_NOISE = 4.4;
/** Times that, where no end lies at the edge. */
const WITHIN = 0.6;
/** Another line that stands out so far, by so much of the depth, shows the same thing. */
const ALSO = 5;
const ALSO_DEPTH = 0.6;

/** What speaks against a trail; undefined where nothing does. @param others the same planes of other lines */
export const doubtAbout = (
  trail: MeasuredTrail,
  others: readonly Counted[],
  { width, height }: Counted,
): Doubt | undefined => {
  const across = trail.ends === 2;
  if (trail.standing < STANDING) return 'weak';
  if (Math.abs(trail.score) < (across && trail.sign > 0 ? SCORE_ACROSS : SCORE)) return 'weak';
  if (trail.end - trail.start < LENGTH * Math.min(width, height)) return 'short';
  if (trail.sided < SIDED) return 'one-sided';
  if (trail.even < EVEN || trail.top > TOP) return 'uneven';
  const most = Math.max(BEND, (BEND_BY_NOISE * trail.width) / trail.standing) * (trail.ends === 0 ? WITHIN : 1);
  if (trail.bend > most || trail.bow > most) return 'bent';
  if (trail.scatter > (across ? SCATTER_ACROSS : SCATTER)) return 'uneven';
  return others.some((other) => showsIn(other, trail)) ? 'in several lines' : undefined;
};

/** Places across that another line is looked at, for lines are not registered to a hair. */
const BESIDE = [-2, -1, 0, 1, 2];

const showsIn = (other: Counted, { ray, start, end, width, sign, depth }: MeasuredTrail): boolean => {
  const half = Math.max(24, 3 * width + 2);
  const across = acrossStrip(stripAlong(other, other, ray, start, end, half));
  const sides = bandOf(across, half, Math.max(2, width) + 1e-9, Math.max(8, 3 * width));
  if (sides.weight < 10) return false;
  return BESIDE.some((middle) => {
    const core = bandOf(across, half, 0, Math.max(0.5, width / 2), middle);
    if (core.weight < 10) return false;
    const height = sign * (core.light / core.weight - sides.light / sides.weight);
    const standing = height / Math.sqrt(1 / core.weight + 1 / sides.weight);
    return standing > ALSO && height > ALSO_DEPTH * depth;
  });
};
