import { blurred } from './blur.ts';
import { COUNTS_PER_RATE, EXPOSURE, OPTICS, PEDESTAL, subsIn } from './camera.ts';
import { type Frame, frameOf, turnedCoverage } from './frame.ts';
import { type Gas, gasOf } from './gas.ts';
import { EMBERWING, LINES, type Line, type PerLine, type SceneOptions } from './options.ts';
import { drawStars, type Star, starsOf } from './stars.ts';

/** What one line's master would be without noise. Pictures have rows top first and are in counts. */
export interface LineTruth {
  readonly line: Line;
  readonly width: number;
  readonly height: number;
  /** The nebula alone, seen through the seeing. */
  readonly nebula: Float32Array;
  readonly stars: Float32Array;
  /** The sky's even part. */
  readonly sky: number;
  /** The sky's uneven part: a polynomial of order 2 over the full frame; all 0 where it was switched off. */
  readonly gradient: Float32Array;
  readonly pedestal: number;
  /** The expected value: nebula + stars + sky + gradient + pedestal, not clipped at full scale. */
  readonly mean: Float32Array;
  /** 1 where the stack holds data, 0 outside. */
  readonly covered: Uint8Array;
  readonly subs: number;
  /** Seconds of one sub. */
  readonly exposure: number;
}

/** How far the night of O that covers less was turned, in degrees. */
export const TURNED_NIGHT = 2.5;

/** Pixels of gas computed beyond the frame, so that the seeing is right up to its edge. */
const MARGIN = 6;

/** The three lines' gas over a frame and a margin, in relative strength. */
const gasOver = (frame: Frame, gas: Gas, margin: number): Float32Array[] => {
  const width = frame.width + 2 * margin;
  const planes = LINES.map(() => new Float32Array(width * (frame.height + 2 * margin)));
  const strengths = new Float64Array(3);
  for (let i = 0; i < planes[0]!.length; i++) {
    const [u, v] = frame.toScene((i % width) - margin, Math.floor(i / width) - margin);
    gas(u, v, strengths);
    for (let k = 0; k < 3; k++) planes[k]![i] = strengths[k]!;
  }
  return planes;
};

/** Mean strengths over the common frame, sampled coarsely: what makes the lines 10 : 5 : 1 whatever the seed. */
const meanStrengths = (gas: Gas, width: number, height: number): number[] => {
  const frame = frameOf(Math.round((120 * width) / height), 120);
  return gasOver(frame, gas, 0).map((plane) => plane.reduce((a, b) => a + b, 0) / plane.length);
};

const gradientOver = (frame: Frame, line: Line): Float32Array => {
  const [c, cu, cv, cuu, cuv, cvv] = OPTICS[line].gradient;
  const plane = new Float32Array(frame.width * frame.height);
  for (let y = 0, i = 0; y < frame.height; y++)
    for (let x = 0; x < frame.width; x++, i++) {
      const [u, v] = frame.toSky(x, y);
      plane[i] = COUNTS_PER_RATE * (c + cu * u + cv * v + cuu * u * u + cuv * u * v + cvv * v * v);
    }
  return plane;
};

const starsOver = (frame: Frame, stars: readonly Star[], line: Line): Float32Array => {
  const plane = new Float32Array(frame.width * frame.height);
  const { star, starBlue, seeing } = OPTICS[line];
  drawStars(plane, frame, stars, ({ rate, blue }) => rate * star * Math.exp(starBlue * blue), seeing);
  return plane.map((rate) => rate * COUNTS_PER_RATE);
};

// Light is traced once for a seed: many pictures of one scene are the rule.
let traced: { readonly seed: number; readonly gas: Gas } | undefined;

const tracedGas = (seed: number): Gas => {
  if (traced?.seed !== seed) traced = { seed, gas: gasOf(seed) };
  return traced.gas;
};

/** The scene without noise, line by line. Options left out are those of the shipped masters. */
export const sceneTruth = (options: Partial<SceneOptions> = {}): PerLine<LineTruth> => {
  const all = { ...EMBERWING, ...options };
  const gas = tracedGas(all.seed);
  const strengths = meanStrengths(gas, all.width, all.height);
  const stars = all.stars ? starsOf(all.seed, all.height / 2) : [];
  const known = new Map<string, Float32Array[]>();
  const truthOf = (line: Line, index: number): LineTruth => {
    const misfit = all.misfit[line] ?? {};
    const frame = frameOf(all.width, all.height, misfit);
    const { width, height } = frame;
    const key = JSON.stringify(misfit);
    const planes = known.get(key) ?? gasOver(frame, gas, MARGIN);
    known.set(key, planes);
    const optics = OPTICS[line];
    const counts = (COUNTS_PER_RATE * optics.nebula) / strengths[index]!;
    const nebula = blurred(planes[index]!, width, height, MARGIN, optics.seeing).map((s) => s * counts);
    const starlight = starsOver(frame, stars, line);
    const gradient = all.gradient ? gradientOver(frame, line) : new Float32Array(width * height);
    const sky = COUNTS_PER_RATE * optics.sky;
    const turned = all.coverage && line === 'O';
    return {
      line,
      width,
      height,
      nebula,
      stars: starlight,
      sky,
      gradient,
      pedestal: PEDESTAL,
      mean: nebula.map((n, i) => n + starlight[i]! + sky + gradient[i]! + PEDESTAL),
      covered: turned
        ? turnedCoverage(frame, TURNED_NIGHT, all.width, all.height)
        : new Uint8Array(width * height).fill(1),
      subs: subsIn(all.hours[line]),
      exposure: EXPOSURE,
    };
  };
  const [S, H, O] = LINES.map(truthOf);
  return { S: S!, H: H!, O: O! };
};
