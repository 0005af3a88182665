import { COUNTS_PER_RATE } from '../../../samples/scene/camera.ts';
import { type Frame, frameOf } from '../../../samples/scene/frame.ts';
import {
  drawMaster,
  LINES,
  type LineTruth,
  noiseOf,
  sceneTruth,
  type TargetName,
} from '../../../samples/scene/index.ts';
import { type Star, starsOf } from '../../../samples/scene/stars.ts';
import { completed, TARGETS } from '../../../samples/scene/targets.ts';

/**
 * A star that was drawn: its place in pixels, and its peak above the noise over all lines, √Σ(peak/σ)², σ the noise of the
 * pixel in its middle with the star's own photons in it.
 */
export interface Drawn {
  readonly x: number;
  readonly y: number;
  readonly snr: number;
}

/** Masters of S, H and O with what is known of them. Planes are in counts, NaN where a master has no data. */
export interface Scene {
  readonly width: number;
  readonly height: number;
  readonly masters: readonly Float32Array[];
  /** Expected values of all but the stars. */
  readonly under: readonly Float32Array[];
  /** Noise of each pixel, with the photons of its stars, and without them. */
  readonly noise: readonly Float32Array[];
  readonly darkNoise: readonly Float32Array[];
  /** Light that is no disc of a star but comes from it: spikes; 0 where there is none. */
  readonly spikes: readonly Float32Array[];
  readonly stars: readonly Drawn[];
}

export interface Draw {
  readonly seed: number;
  readonly noiseSeed?: number;
  readonly target?: TargetName;
  readonly width?: number;
  readonly height?: number;
}

/** Exponent of the discs that the generator of the samples draws, for peaks of its stars. */
const BETA = 2.8;

interface Field {
  readonly frame: Frame;
  readonly stars: readonly Star[];
  /** Peak of a star in a line, in counts, and the scale of its disc in pixels. */
  readonly peakOf: (star: Star, k: number) => number;
  readonly alphaOf: (k: number) => number;
}

const fieldOf = ({ seed, target = 'emberwing', width = 1200, height = 800 }: Draw): Field => {
  const { optics, stars } = TARGETS[target];
  const alphaOf = (k: number) => optics[LINES[k]!].seeing / (2 * Math.sqrt(2 ** (1 / BETA) - 1));
  return {
    frame: frameOf(width, height),
    stars: starsOf(seed, height / 2, stars),
    alphaOf,
    peakOf({ rate, blue }, k) {
      const { star, starBlue } = optics[LINES[k]!];
      return (COUNTS_PER_RATE * rate * star * Math.exp(starBlue * blue) * (BETA - 1)) / (Math.PI * alphaOf(k) ** 2);
    },
  };
};

/** Draws masters of truths, and lists the stars that the frame shows. */
const sceneOf = (truths: readonly LineTruth[], field: Field, noiseSeed: number, spikes?: Scene['spikes']): Scene => {
  const { width, height } = truths[0]!;
  const masters = truths.map((truth) =>
    Float32Array.from(drawMaster(truth, noiseSeed), (value, i) => (truth.covered[i] ? value : Number.NaN)),
  );
  const under = truths.map(({ nebula, sky, gradient, pedestal }) =>
    nebula.map((light, i) => light + sky + gradient[i]! + pedestal),
  );
  const noise = truths.map(({ mean, subs }) => mean.map((value) => noiseOf(value, subs)));
  const darkNoise = truths.map(({ subs }, k) => under[k]!.map((value) => noiseOf(value, subs)));
  const stars = field.stars.flatMap((star): Drawn[] => {
    const [x, y] = field.frame.toPixel(star.u, star.v);
    const [column, row] = [Math.round(x), Math.round(y)];
    if (column < 0 || row < 0 || column >= width || row >= height) return [];
    const i = row * width + column;
    return [{ x, y, snr: Math.hypot(...truths.map((_, k) => field.peakOf(star, k) / noise[k]![i]!)) }];
  });
  const none = new Float32Array(width * height);
  return { width, height, masters, under, noise, darkNoise, spikes: spikes ?? truths.map(() => none), stars };
};

/** A target without what was planted in its masters: the truth under its stars is that of the sky. */
const optionsOf = ({ seed, target = 'emberwing', width = 1200, height = 800 }: Draw) => ({
  ...completed({ target }),
  misfit: {},
  turned: {},
  flaws: {},
  seed,
  width,
  height,
});

/** A draw of the sample generator. */
export const drawScene = (draw: Draw): Scene =>
  sceneOf(Object.values(sceneTruth(optionsOf(draw))), fieldOf(draw), draw.noiseSeed ?? 1);

/** The same without a single star. */
export const drawStarless = (draw: Draw): Scene => {
  const truths = Object.values(sceneTruth({ ...optionsOf(draw), stars: false }));
  return sceneOf(truths, { ...fieldOf(draw), stars: [] }, draw.noiseSeed ?? 1);
};

/** Flattening of discs in the corners of a hard frame, growing with the square of the distance from the centre. */
const FLATTENING = 0.18;
/** How much brighter its stars are: more of them reach the full scale. */
const BRIGHTER = 3;
/** Spikes: part of the peak at their foot, the distance over which they fall by e, their direction, half their width, in pixels and radians. */
const SPIKE = { part: 0.02, fall: 22, angle: 0.5, width: 0.8 };
/** Light is drawn down to this part of the noise of dark sky. */
const FAINTEST = 0.05;

/**
 * A frame as a poor lens and a long exposure make it: discs long along the radius of the frame, four spikes on every star, and
 * stars above the full scale.
 */
export const drawHardScene = (draw: Draw): Scene => {
  const plain = fieldOf(draw);
  const field: Field = { ...plain, peakOf: (star, k) => BRIGHTER * plain.peakOf(star, k) };
  const spikes: Float32Array[] = [];
  const truths = Object.values(sceneTruth({ ...optionsOf(draw), stars: false })).map((truth, k) => {
    const discs = new Float32Array(truth.mean.length);
    const spike = new Float32Array(truth.mean.length);
    const floor = FAINTEST * noiseOf(truth.sky + truth.pedestal, truth.subs);
    for (const star of field.stars) drawHardStar(star, k, field, { discs, spike, floor });
    spikes.push(spike);
    const stars = discs.map((light, i) => light + spike[i]!);
    return { ...truth, stars, mean: truth.mean.map((value, i) => value + stars[i]!) };
  });
  return sceneOf(truths, field, draw.noiseSeed ?? 1, spikes);
};

interface HardPlanes {
  readonly discs: Float32Array;
  readonly spike: Float32Array;
  readonly floor: number;
}

const drawHardStar = (star: Star, k: number, field: Field, { discs, spike, floor }: HardPlanes): void => {
  const { width, height, toPixel } = field.frame;
  const [cx, cy] = toPixel(star.u, star.v);
  const [fromX, fromY] = [cx - (width - 1) / 2, cy - (height - 1) / 2];
  const flattening = (FLATTENING * (fromX ** 2 + fromY ** 2)) / ((width / 2) ** 2 + (height / 2) ** 2);
  const angle = Math.atan2(fromY, fromX);
  const peak = field.peakOf(star, k);
  const alpha = field.alphaOf(k);
  const disc = alpha * Math.sqrt(Math.max(0, (peak / floor) ** (1 / BETA) - 1));
  const arm = SPIKE.fall * Math.log(Math.max(1, (SPIKE.part * peak) / floor));
  const reach = Math.ceil(Math.max(1.2 * disc, arm));
  const along = (a: number, dx: number, dy: number) => [
    Math.cos(a) * dx + Math.sin(a) * dy,
    Math.cos(a) * dy - Math.sin(a) * dx,
  ];
  for (let y = Math.max(0, Math.ceil(cy - reach)); y <= Math.min(height - 1, cy + reach); y++)
    for (let x = Math.max(0, Math.ceil(cx - reach)); x <= Math.min(width - 1, cx + reach); x++) {
      const i = y * width + x;
      const [dx, dy] = [x - cx, y - cy];
      // The same area whatever the flattening.
      const [p, q] = along(angle, dx, dy) as [number, number];
      const r2 = p * p * (1 - flattening) + (q * q) / (1 - flattening);
      discs[i]! += peak * (1 + r2 / alpha ** 2) ** -BETA;
      for (const [u, v] of [along(SPIKE.angle, dx, dy), along(SPIKE.angle + Math.PI / 2, dx, dy)] as [number, number][])
        spike[i]! += SPIKE.part * peak * Math.exp(-Math.abs(u) / SPIKE.fall - 0.5 * (v / SPIKE.width) ** 2);
    }
};
