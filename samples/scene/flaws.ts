import { FWHM_PER_SIGMA } from './blur.ts';
import { COUNTS_PER_RATE } from './camera.ts';
import { dustRings, flatsOf } from './flats.ts';
import type { FlawOptions, HotOptions, SeamOptions, ShadowOptions, TrailOptions } from './flaw-options.ts';
import type { Frame } from './frame.ts';
import { random } from './random.ts';
import { bell, smooth } from './shapes.ts';

/** One pixel that is too bright, by so many counts. */
export interface HotPixel {
  readonly x: number;
  readonly y: number;
  readonly counts: number;
}

/** A planted trail in pixels of the picture, whole numbers at pixel centres, and counts. */
export interface TrailTruth {
  readonly from: readonly [x: number, y: number];
  readonly to: readonly [x: number, y: number];
  /** Full width at half maximum in pixels. */
  readonly width: number;
  /** Counts on its middle. */
  readonly depth: number;
}

/** Right of the line from (`top`, 0) to (`bottom`, height − 1), in pixels, `subs` were averaged, left of it all. */
export interface SeamTruth {
  readonly top: number;
  readonly bottom: number;
  readonly subs: number;
}

/** All that was planted into a line. Pictures have rows top first. */
export interface Flaws {
  /** Share of the light that passed beside the guider's shadow; 1 outside it. */
  readonly shadow: Float32Array;
  /** What the flats left uncorrected: a factor on all light about 1. */
  readonly flats: Float32Array;
  readonly trail: TrailTruth | undefined;
  readonly hot: readonly HotPixel[];
  readonly seam: SeamTruth | undefined;
  /** Counts of trail and hot pixels together. */
  readonly added: Float32Array;
  /** How many subs were averaged in each pixel. */
  readonly frames: Uint16Array;
}

type Place = readonly [x: number, y: number];

/** Places as shares of the full frame, in pixels of the picture, and back. */
const placesIn = (frame: Frame, turned: number, fullWidth: number, fullHeight: number) => {
  // The picture's pixel (0, 0) lies at the crop's corner of the full frame.
  const [su, sv] = frame.toSky(0, 0);
  const left = (su * fullWidth) / 2 + (fullWidth - 1) / 2;
  const top = (sv * fullHeight) / 2 + (fullHeight - 1) / 2;
  return {
    pixel: ([x, y]: Place): Place => [x * (fullWidth - 1) - left, y * (fullHeight - 1) - top],
    share(x: number, y: number): Place {
      const [u, v] = frame.toSky(x, y, turned);
      return [(u + 1) / 2, (v + 1) / 2];
    },
  };
};

/** How much of a shadow lies at a place of the frame, 0 to its depth. */
const shadowAt = ({ edge, middle, width, reach, border, depth }: ShadowOptions, [x, y]: Place): number => {
  const upright = edge === 'top' || edge === 'bottom';
  const along = upright ? x : y;
  const across = upright ? y : x;
  const inward = edge === 'top' || edge === 'left' ? across : 1 - across;
  const covers = (distance: number, half: number) => 1 - smooth(half - border / 2, half + border / 2, distance);
  return depth * covers(Math.abs(along - middle), width / 2) * covers(inward, reach);
};

/** Adds a straight line with a Gaussian profile and round ends. */
const drawTrail = (into: Float32Array, width: number, { from, to, width: fwhm, depth }: TrailTruth): void => {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const length2 = dx * dx + dy * dy;
  const scale = (Math.SQRT2 * fwhm) / FWHM_PER_SIGMA;
  const reach = 3 * scale;
  for (let i = 0; i < into.length; i++) {
    const px = (i % width) - from[0];
    const py = Math.floor(i / width) - from[1];
    if (Math.abs(dx * py - dy * px) > reach * Math.sqrt(length2)) continue;
    const t = Math.min(1, Math.max(0, (px * dx + py * dy) / length2));
    const away = Math.hypot(px - t * dx, py - t * dy);
    if (away <= reach) into[i]! += depth * bell(away, scale);
  }
};

const trailOf = ({ from, to, width, depth }: TrailOptions, pixel: (place: Place) => Place): TrailTruth => ({
  from: pixel(from),
  to: pixel(to),
  width,
  depth: depth * COUNTS_PER_RATE,
});

/** Hot pixels at random places, each place once; strengths are spread evenly over their logarithm. */
const hotPixels = ({ seed, perMegapixel, faintest, brightest }: HotOptions, frame: Frame): HotPixel[] => {
  const rng = random(seed, 4);
  const area = frame.width * frame.height;
  const places = new Map<number, HotPixel>();
  for (let n = Math.round((perMegapixel * area) / 1e6); n > 0; n--) {
    const place = Math.floor(rng.uniform() * area);
    const rate = faintest * (brightest / faintest) ** rng.uniform();
    places.set(place, {
      x: place % frame.width,
      y: Math.floor(place / frame.width),
      counts: rate * COUNTS_PER_RATE,
    });
  }
  return [...places.values()];
};

const seamOf = ({ top, bottom, share }: SeamOptions, subs: number, pixel: (place: Place) => Place): SeamTruth => ({
  top: pixel([top, 0])[0],
  bottom: pixel([bottom, 0])[0],
  subs: Math.max(1, Math.round(share * subs)),
});

/** How the camera saw a line: how far it was turned, the subs, and the full frame. */
export interface Taken {
  readonly turned: number;
  readonly subs: number;
  readonly fullWidth: number;
  readonly fullHeight: number;
}

/** What dims the light on its way: lines through the same camera share it. */
const dimmed = ({ shadow, flats }: FlawOptions, frame: Frame, { turned, fullWidth, fullHeight }: Taken) => {
  const { width, height } = frame;
  const { share } = placesIn(frame, turned, fullWidth, fullHeight);
  const planes = { shadow: new Float32Array(width * height).fill(1), flats: new Float32Array(width * height).fill(1) };
  const residue = flats && flatsOf(flats, dustRings(flats.seed), fullWidth / fullHeight);
  for (let y = 0, i = 0; y < height; y++)
    for (let x = 0; x < width; x++, i++) {
      const place = share(x, y);
      if (shadow) planes.shadow[i] = 1 - shadowAt(shadow, place);
      if (residue) planes.flats[i] = residue(place[0], place[1]);
    }
  return planes;
};

let known: { readonly key: string; readonly planes: ReturnType<typeof dimmed> } | undefined;

/** What is planted into a line. */
export const flawsOf = (options: FlawOptions, frame: Frame, taken: Taken): Flaws => {
  const { subs, turned, fullWidth, fullHeight } = taken;
  const { width, height } = frame;
  const { pixel } = placesIn(frame, turned, fullWidth, fullHeight);
  const key = JSON.stringify([options.shadow, options.flats, frame, frame.toSky(0, 0), turned, fullWidth, fullHeight]);
  if (known?.key !== key) known = { key, planes: dimmed(options, frame, taken) };
  const added = new Float32Array(width * height);
  const frames = new Uint16Array(width * height).fill(subs);
  const trail = options.trail && trailOf(options.trail, pixel);
  const hot = options.hot ? hotPixels(options.hot, frame) : [];
  const seam = options.seam && seamOf(options.seam, subs, pixel);
  if (seam)
    for (let i = 0; i < frames.length; i++) {
      const border = seam.top + ((seam.bottom - seam.top) * Math.floor(i / width)) / (height - 1);
      if (i % width > border) frames[i] = seam.subs;
    }
  if (trail) drawTrail(added, width, trail);
  for (const { x, y, counts } of hot) added[y * width + x]! += counts;
  return { ...known.planes, trail, hot, seam, added, frames };
};
