import type { Box } from '../plane/box.ts';
import { isMarked } from '../plane/mask.ts';
import type { Rings } from '../plane/outline.ts';
import { type AreaReading, patchFor, readArea } from './area.ts';
import type { Bins } from './bins.ts';
import { type Blobs, blobsOf, type Run } from './blobs.ts';
import type { FaintMap } from './map.ts';
import type { Ground } from './octave.ts';
import { ringsAround } from './trace.ts';

/** Something that stands out of noise and flats. Places are pixels of the frame. */
export interface Feature {
  /** Where it stands out most. */
  readonly x: number;
  readonly y: number;
  readonly box: Box;
  /** Pixels inside the outline. */
  readonly pixels: number;
  /** The scale in pixels at which most of it stands out most. */
  readonly scale: number;
  /** Its largest z over the threshold of that scale, flats included. */
  readonly ratio: number;
  /** Its mean less that of a ring around it; absent where too little is left beside stars. */
  readonly area?: AreaReading | undefined;
  readonly outline: Rings;
}

/** The features of a map, the largest ratio first. */
export const featuresOf = (
  map: FaintMap,
  bins: Bins,
  ground: Ground,
  size: { width: number; height: number },
): Feature[] => {
  const { width, height, ratio, dark } = map;
  const blobs = blobsOf(width, height, (i) => ratio[i]! > 1);
  const taken = (i: number) => ratio[i]! > 1 || isMarked(dark, i % width, Math.floor(i / width));
  return runsByBlob(blobs)
    .map((runs) => featureOf(runs, map, bins, ground, size, taken))
    .sort((a, b) => b.ratio - a.ratio);
};

const runsByBlob = ({ count, runs }: Blobs): Run[][] => {
  const groups = Array.from({ length: count }, (): Run[] => []);
  for (const run of runs) groups[run.blob]!.push(run);
  return groups;
};

const featureOf = (
  runs: readonly Run[],
  map: FaintMap,
  bins: Bins,
  ground: Ground,
  size: { width: number; height: number },
  taken: (index: number) => boolean,
): Feature => {
  const box = binBox(runs);
  const peak = peakOf(runs, map);
  const { scale } = map.scales[usualScale(runs, map)]!;
  const patch = patchFor(bins, box, scale);
  for (const { y, from, to } of runs) {
    const start = (y - patch.y) * patch.width - patch.x;
    patch.marks.fill(1, start + from, start + to);
  }
  const side = bins.size;
  const [right, bottom] = [size.width, size.height];
  const clip = (corner: number, i: number) => Math.min(corner * side, i % 2 === 0 ? right : bottom);
  const [x, y] = [box.x * side, box.y * side];
  return {
    x: Math.min(right - 1, ((peak % map.width) + 0.5) * side),
    y: Math.min(bottom - 1, (Math.floor(peak / map.width) + 0.5) * side),
    box: {
      x,
      y,
      width: Math.min(right, x + box.width * side) - x,
      height: Math.min(bottom, y + box.height * side) - y,
    },
    pixels: pixelsOf(runs, side, size),
    scale,
    ratio: map.ratio[peak]!,
    area: readArea(bins, ground, patch, scale, taken),
    outline: ringsAround(runs).map((ring) => ring.map(clip)),
  };
};

const binBox = (runs: readonly Run[]): Box => {
  let [left, right] = [Infinity, 0];
  for (const { from, to } of runs) [left, right] = [Math.min(left, from), Math.max(right, to)];
  const top = runs[0]!.y;
  return { x: left, y: top, width: right - left, height: runs.at(-1)!.y + 1 - top };
};

const peakOf = (runs: readonly Run[], { width, ratio }: FaintMap): number => {
  let best = runs[0]!.y * width + runs[0]!.from;
  for (const { y, from, to } of runs)
    for (let i = y * width + from; i < y * width + to; i++) if (ratio[i]! > ratio[best]!) best = i;
  return best;
};

/** The scale that most bins of a blob stand out at. */
const usualScale = (runs: readonly Run[], { width, scale, scales }: FaintMap): number => {
  const counts = new Uint32Array(scales.length);
  for (const { y, from, to } of runs) for (let i = y * width + from; i < y * width + to; i++) counts[scale[i]!]!++;
  return counts.indexOf(counts.reduce((a, b) => Math.max(a, b)));
};

const pixelsOf = (runs: readonly Run[], side: number, { width, height }: { width: number; height: number }): number => {
  let sum = 0;
  for (const { y, from, to } of runs)
    sum += (Math.min(width, to * side) - from * side) * (Math.min(height, (y + 1) * side) - y * side);
  return sum;
};
