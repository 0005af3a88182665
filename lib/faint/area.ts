import { framePosition, type Surface, surfaceAt } from '../prepare/background/surface.ts';
import type { Bins } from './bins.ts';
import { areaNoise, type Ground } from './octave.ts';
import { widened } from './widen.ts';

/** How far the mean of an area lies above that of a ring around it. */
export interface AreaReading {
  /** In units of the line. */
  readonly contrast: number;
  /** Its deviation by noise alone. */
  readonly noise: number;
  /** contrast / noise. */
  readonly z: number;
  /** Pixels that count, in the area and in the ring. */
  readonly pixels: number;
  readonly around: number;
}

/** Part of a grid of bins; what lies beyond the grid does not belong to it. */
export interface Patch {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  /** 1 for bins of the patch that belong to it. */
  readonly marks: Uint8Array;
}

/** Between area and ring lie so many scales, and the ring is so many scales wide. */
const GAP = 1;
const RING = 2;
/** A mean of fewer pixels says nothing. */
const FEWEST = 16;

/** The patch that holds what `mark` marks in a box of bins, with room for a ring of a scale in pixels around it. */
export const patchFor = (
  bins: Pick<Bins, 'size' | 'width' | 'height'>,
  box: { readonly x: number; readonly y: number; readonly width: number; readonly height: number },
  scale: number,
): Patch => {
  const room = Math.ceil(((GAP + RING) * scale) / bins.size);
  const [x, y] = [Math.max(0, box.x - room), Math.max(0, box.y - room)];
  const width = Math.min(bins.width, box.x + box.width + room) - x;
  const height = Math.min(bins.height, box.y + box.height + room) - y;
  return { x, y, width, height, marks: new Uint8Array(Math.max(0, width) * Math.max(0, height)) };
};

/**
 * The area of a patch against a ring of a scale around it.
 * @param left whether a bin of the grid is left out of the ring, as it belongs to something else
 * @returns undefined where area or ring hold too little
 */
export const readArea = (
  bins: Bins,
  ground: Ground,
  patch: Patch,
  scale: number,
  left: (index: number) => boolean,
): AreaReading | undefined => {
  const within = (reach: number) => widened(patch, Math.round((reach * scale) / bins.size));
  const [near, far] = [within(GAP), within(GAP + RING)];
  const [area, ring] = [sumsOf(), sumsOf()];
  for (let v = 0, i = 0; v < patch.height; v++)
    for (let u = 0; u < patch.width; u++, i++) {
      const at = (patch.y + v) * bins.width + patch.x + u;
      if (patch.marks[i] === 1) area.add(bins, ground, at);
      else if (far[i] === 1 && near[i] === 0 && !left(at)) ring.add(bins, ground, at);
    }
  if (area.pixels < FEWEST || ring.pixels < FEWEST) return undefined;
  const contrast = area.sum / area.pixels - ring.sum / ring.pixels;
  const variance = area.variance / area.pixels ** 2 + ring.variance / ring.pixels ** 2;
  const noise = areaNoise(ground.noise) * Math.sqrt(variance);
  return { contrast, noise, z: contrast / noise, pixels: area.pixels, around: ring.pixels };
};

const sumsOf = () => ({
  pixels: 0,
  sum: 0,
  variance: 0,
  add({ sums, counts, width, height }: Bins, { noise, surface, level }: Ground, at: number) {
    const count = counts[at]!;
    if (count === 0) return;
    const height0 = noise.perCount > 0 && surface ? heightAt(surface, at, width, height) : 0;
    const above = sums[at]! / count + level + height0 - noise.level;
    this.pixels += count;
    this.sum += sums[at]!;
    this.variance += count * (noise.variance + noise.perCount * Math.max(0, above));
  },
});

const heightAt = (surface: Surface, at: number, width: number, height: number): number =>
  surfaceAt(surface, framePosition(at % width, width), framePosition(Math.floor(at / width), height));

/** Hours at which an area stands out k times its noise, and the interval that one deviation of its contrast allows. */
export interface HoursTo {
  readonly aim: number;
  /** Hours in all, those so far included. */
  readonly hours: number;
  readonly least: number;
  /** Absent where the contrast is too close to its deviation: it may be nothing. */
  readonly most?: number;
}

/** What hours are told from. */
export interface HoursWish {
  /** Hours so far. */
  readonly hours: number;
  readonly aim: number;
  /** Deviation of the contrast that flats leave, in units of the line. */
  readonly unevenness: number;
  /** Whether the area was found on this very picture: where noise and flats helped it, so that its contrast is too high. */
  readonly isBlind: boolean;
}

/**
 * Hours by (k/z)², as noise falls with the root of the hours; the interval by (k/(z ± d))², d the deviation of the contrast by noise and
 * flats over that by noise alone: 1 where flats leave nothing. Of an area that was found blindly, one more d is allowed for
 * what it was chosen by. Undefined where z is not above 0.
 */
export const hoursTo = (
  { z, noise }: Pick<AreaReading, 'z' | 'noise'>,
  { hours, aim, unevenness, isBlind }: HoursWish,
): HoursTo | undefined => {
  if (!(z > 0)) return undefined;
  const doubt = Math.hypot(1, unevenness / noise);
  const weakest = z - (isBlind ? 2 : 1) * doubt;
  const at = (value: number) => hours * (aim / value) ** 2;
  return { aim, hours: at(z), least: at(z + doubt), ...(weakest > 0 && { most: at(weakest) }) };
};
