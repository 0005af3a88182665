import type { Defect } from './defects.ts';
import type { Counted } from './lines/aim.ts';
import { apart } from './lines/apart.ts';
import type { EvenLine } from './lines/even-lines.ts';
import type { LinesFound } from './lines/line-pieces.ts';
import { type MeasuredTrail, measureLine } from './lines/measure-line.ts';
import { type Profile, profileOf } from './lines/profile.ts';
import { doubtAbout } from './lines/verdict.ts';
import { product } from './planes/blur.ts';

/**
 * The length of a trail in its widths, where no end lies at the edge of the frame: what is broader is a filament of the nebula.
 */
const SLIM = 12;
/** So many lines of a master are looked at closely. */
const MOST = 24;

/** A line whose trails are judged, and what was found at each scale. */
export interface TrailLine {
  readonly name: string;
  readonly scales: readonly LinesFound[];
}

/** Places of pixels that are so many times as large, in the smaller ones; both count from the middle of the first. */
export const larger = ([x, y]: readonly [number, number], times: number): [x: number, y: number] => [
  x * times + (times - 1) / 2,
  y * times + (times - 1) / 2,
];

/**
 * The trails of each line. Sure is only what runs from the edge of the frame: filaments of a nebula can be straight, and
 * end in the frame. @param bin pixels of the frame to one of the small planes
 */
export const trailsOf = (lines: readonly TrailLine[], bin: number): Defect[] =>
  lines.flatMap((line, k) => {
    const counts = countsOf(line);
    return apart(candidatesOf(line), MOST).flatMap(({ scale, own }) => {
      const { alone, times } = line.scales[scale]!;
      const trail = measureLine(alone, own);
      if (trail === undefined) return [];
      const others = lines.filter((_, j) => j !== k).map(({ scales }) => scales[scale]!.whole);
      if (doubtAbout(trail, others, alone) !== undefined) return [];
      const profile = profileOf(counts, trail, times);
      // The profile counts in pixels of the small planes, the trail in those of its scale.
      const broad = trail.ends === 0 && (trail.end - trail.start) * times < SLIM * profile.width;
      return profile.depth > 0 && !broad ? [defectOf(line.name, trail, profile, times, bin)] : [];
    });
  });

/** The small plane in counts, 0 where it has no weight. */
const countsOf = ({ scales: [finest] }: TrailLine): Counted => {
  const { counts } = finest!;
  return { ...counts, values: product(counts.values, counts.weights) };
};

/** Lines of all scales in pixels of the small planes, and as they were found. */
const candidatesOf = ({ scales }: TrailLine): (EvenLine & { readonly scale: number; readonly own: EvenLine })[] =>
  scales.flatMap(({ lines, times }, scale) =>
    lines.map((own) => ({
      scale,
      own,
      score: own.score,
      width: own.width * times,
      from: larger(own.from, times),
      to: larger(own.to, times),
    })),
  );

/** @param times small pixels to one that the trail was found in @param bin pixels of the frame to a small one */
const defectOf = (channel: string, trail: MeasuredTrail, profile: Profile, times: number, bin: number): Defect => {
  const angle = (Math.atan2(trail.ray.dy, trail.ray.dx) * 180) / Math.PI;
  return {
    kind: 'trail',
    channel,
    from: larger(trail.from, times * bin),
    to: larger(trail.to, times * bin),
    angle: ((angle % 180) + 180) % 180,
    width: profile.width * bin,
    depth: profile.depth,
    score: Math.abs(trail.score),
    sign: trail.sign,
    certainty: trail.ends > 0 ? 'sure' : 'possible',
  };
};
