import { blurred } from './blur.ts';
import { COUNTS_PER_RATE, EXPOSURE, type LineOptics, PEDESTAL, subsIn } from './camera.ts';
import { type Flaws, flawsOf } from './flaws.ts';
import { type Frame, frameOf, turnedCoverage } from './frame.ts';
import type { Gas } from './gas.ts';
import { LINES, type Line, type PerLine, type SceneOptions, type TargetName } from './options.ts';
import { drawStars, type Star, starsOf } from './stars.ts';
import type { Target } from './target.ts';
import { completed, TARGETS } from './targets.ts';

/** What one line's master would be without noise. Pictures have rows top first and are in counts. */
export interface LineTruth {
  readonly target: TargetName;
  readonly line: Line;
  readonly width: number;
  readonly height: number;
  /** The nebula alone, seen through the seeing. */
  readonly nebula: Float32Array;
  /** The faint shell alone, which is part of `nebula`; nothing where the line has none. */
  readonly shell: Float32Array | undefined;
  readonly stars: Float32Array;
  /** The sky's even part. */
  readonly sky: number;
  /** The sky's uneven part: a polynomial of order 2 over the full frame; all 0 where it was switched off. */
  readonly gradient: Float32Array;
  readonly pedestal: number;
  /**
   * The expected value, not clipped at full scale: nebula + stars + sky + gradient + pedestal. Where flaws were planted,
   * shadow and flats are factors on the light, before the pedestal, and trail and hot pixels are added.
   */
  readonly mean: Float32Array;
  /** 1 where the stack holds data, 0 outside. */
  readonly covered: Uint8Array;
  /** What was planted on purpose; nothing where all went well. */
  readonly flaws: Flaws | undefined;
  readonly subs: number;
  /** Seconds of one sub. */
  readonly exposure: number;
}

/** How far the night of O that covers less was turned, in degrees. */
export const TURNED_NIGHT = 2.5;

/** Pixels of gas computed beyond the frame, so that the seeing is right up to its edge. */
const MARGIN = 6;

/** The gas of all lines, and the shell where there is one, over a frame and a margin, in relative strength. */
const gasOver = (frame: Frame, gas: Gas, margin: number, count: number): Float32Array[] => {
  const width = frame.width + 2 * margin;
  const planes = Array.from({ length: count }, () => new Float32Array(width * (frame.height + 2 * margin)));
  const strengths = new Float64Array(4);
  for (let i = 0; i < planes[0]!.length; i++) {
    const [u, v] = frame.toScene((i % width) - margin, Math.floor(i / width) - margin);
    gas(u, v, strengths);
    for (let k = 0; k < count; k++) planes[k]![i] = strengths[k]!;
  }
  return planes;
};

/** Mean strengths over the common frame, sampled coarsely: what makes the lines as strong as told whatever the seed. */
const meanStrengths = (gas: Gas, width: number, height: number): number[] => {
  const frame = frameOf(Math.round((120 * width) / height), 120);
  return gasOver(frame, gas, 0, LINES.length).map((plane) => plane.reduce((a, b) => a + b, 0) / plane.length);
};

const gradientOver = (frame: Frame, terms: LineOptics['gradient'], turned: number): Float32Array => {
  const [c, cu, cv, cuu, cuv, cvv] = terms;
  const plane = new Float32Array(frame.width * frame.height);
  for (let y = 0, i = 0; y < frame.height; y++)
    for (let x = 0; x < frame.width; x++, i++) {
      const [u, v] = frame.toSky(x, y, turned);
      plane[i] = COUNTS_PER_RATE * (c + cu * u + cv * v + cuu * u * u + cuv * u * v + cvv * v * v);
    }
  return plane;
};

const starsOver = (frame: Frame, stars: readonly Star[], { star, starBlue, seeing }: LineOptics): Float32Array => {
  const plane = new Float32Array(frame.width * frame.height);
  drawStars(plane, frame, stars, ({ rate, blue }) => rate * star * Math.exp(starBlue * blue), seeing);
  return plane.map((rate) => rate * COUNTS_PER_RATE);
};

const coveredBy = (frame: Frame, angle: number, all: SceneOptions): Uint8Array =>
  angle === 0
    ? new Uint8Array(frame.width * frame.height).fill(1)
    : turnedCoverage(frame, angle, all.width, all.height);

/** All light of a line, each part by itself, before anything is planted. */
type Light = Pick<LineTruth, 'nebula' | 'stars' | 'sky' | 'gradient'>;

/** The expected value from the light and what was planted. */
const meanOf = ({ nebula, stars, sky, gradient }: Light, flaws: Flaws | undefined): Float32Array =>
  nebula.map((n, i) => {
    const light = n + stars[i]! + sky + gradient[i]!;
    return flaws ? light * flaws.shadow[i]! * flaws.flats[i]! + flaws.added[i]! + PEDESTAL : light + PEDESTAL;
  });

// Light is traced once for a seed, and gas once for a frame: many pictures of one scene are the rule.
let traced: { readonly target: TargetName; readonly seed: number; readonly gas: Gas } | undefined;
let drawn: { readonly gas: Gas; readonly place: string; readonly planes: readonly Float32Array[] } | undefined;

const tracedGas = ({ target, seed }: SceneOptions): Gas => {
  if (traced?.seed !== seed || traced.target !== target) traced = { target, seed, gas: TARGETS[target].gasOf(seed) };
  return traced.gas;
};

const drawnGas = (all: SceneOptions, line: Line, gas: Gas): readonly Float32Array[] => {
  const misfit = all.misfit[line] ?? {};
  const place = JSON.stringify([all.width, all.height, misfit]);
  if (drawn?.gas !== gas || drawn.place !== place) {
    const frame = frameOf(all.width, all.height, misfit);
    const count = LINES.length + (TARGETS[all.target].shell === undefined ? 0 : 1);
    drawn = { gas, place, planes: gasOver(frame, gas, MARGIN, count) };
  }
  return drawn.planes;
};

/** Nebula and shell of a line from planes of relative strength, through the seeing, in counts. */
const glowOf = (planes: readonly Float32Array[], line: Line, strength: number, frame: Frame, target: Target) => {
  const { nebula, seeing } = target.optics[line];
  const seen = (plane: Float32Array, counts: number) =>
    blurred(plane, frame.width, frame.height, MARGIN, seeing).map((s) => s * counts);
  const gas = seen(planes[LINES.indexOf(line)]!, (COUNTS_PER_RATE * nebula) / strength);
  if (line !== 'O' || target.shell === undefined) return { nebula: gas, shell: undefined };
  const shell = seen(planes[LINES.length]!, COUNTS_PER_RATE * target.shell);
  return { nebula: gas.map((n, i) => n + shell[i]!), shell };
};

const linesOf = (options: Partial<SceneOptions>): ((line: Line) => LineTruth) => {
  const all = completed(options);
  const target = TARGETS[all.target];
  const gas = tracedGas(all);
  const strengths = meanStrengths(gas, all.width, all.height);
  const stars = all.stars ? starsOf(all.seed, all.height / 2, target.stars) : [];
  return (line) => {
    const turned = all.turned[line] ?? 0;
    const frame = frameOf(all.width, all.height, all.misfit[line]);
    const { width, height } = frame;
    const optics = target.optics[line];
    const subs = subsIn(all.hours[line]);
    const full = { turned, subs, fullWidth: all.width, fullHeight: all.height };
    const flaws = all.flaws[line] && flawsOf(all.flaws[line], frame, full);
    const light = {
      ...glowOf(drawnGas(all, line, gas), line, strengths[LINES.indexOf(line)]!, frame, target),
      stars: starsOver(frame, stars, optics),
      sky: COUNTS_PER_RATE * optics.sky,
      gradient: all.gradient ? gradientOver(frame, optics.gradient, turned) : new Float32Array(width * height),
    };
    return {
      target: all.target,
      line,
      width,
      height,
      ...light,
      pedestal: PEDESTAL,
      mean: meanOf(light, flaws),
      covered: coveredBy(frame, all.coverage && line === 'O' ? TURNED_NIGHT : turned, all),
      flaws,
      subs,
      exposure: EXPOSURE,
    };
  };
};

/** The scene without noise, line by line. Options left out are those of the target's masters, Emberwing's by default. */
export const sceneTruth = (options: Partial<SceneOptions> = {}): PerLine<LineTruth> => {
  const truthOf = linesOf(options);
  return { S: truthOf('S'), H: truthOf('H'), O: truthOf('O') };
};

/** As `sceneTruth`, for one line alone. */
export const lineTruth = (options: Partial<SceneOptions>, line: Line): LineTruth => linesOf(options)(line);
