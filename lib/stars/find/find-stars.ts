import { throwIfCancelled } from '../../plane/errors.ts';
import type { LineNoise } from '../../plane/line-noise.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { upperMedian } from '../../plane/select.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { lightOf } from '../model.ts';
import { roundShape } from '../shape.ts';
import { noiseUnder, type StarLine, type StarList } from '../star-list.ts';
import { createDetector, type Detecting, type Found, PIECE_ROWS } from './detect.ts';
import type { Disc } from './disc.ts';
import { type Fitted, type LineFit, misfitsOf, peakFitter } from './fit-peaks.ts';
import { shapeFrom } from './fit-shape.ts';
import { widthOf } from './guess-width.ts';
import { placesNear } from './near.ts';
import { unpackFound } from './star-pieces.ts';

/** A line whose stars are found. */
export interface StarSource {
  readonly name: string;
  readonly source: PlaneSource;
  readonly noise: LineNoise;
  /** From this value on pixels are saturated; absent where none is. */
  readonly full?: number | undefined;
}

/** How far a star stands out, in units of the noise, that needs no others to be told from a knot. */
const PLAIN = 12;
/** The part of a correction that is taken in every round but a star's first. */
const DAMPED = 0.8;
/** New stars lie at least so many pixels from known ones. */
const APART = 1.5;
/** A place that a point explains worse than this is no star, where there is light enough to tell. */
const WORST_MISFIT = 0.9;
const ENOUGH_LIGHT = 300;

/** Finds places in all pieces of a frame; who has threads lets them share. */
export type Detect = (detecting: Detecting) => Promise<Found[]>;

/**
 * Finds the stars that show in at least two lines (in the one line where there is no other), and how bright each is in every
 * line. Reads all lines twice. The method and its figures: docs/maths/stars.md.
 * @param sources lines of one size, prepared but not smoothed
 */
export const findStars = async (
  sources: readonly StarSource[],
  options: StripOptions = {},
  detect: Detect = detectTogether(sources, options),
): Promise<StarList> => {
  const noise = sources.map((of) => Math.sqrt(of.noise.variance));
  const full = sources.map((of) => of.full);
  const width = await widthOf(sources, noise, options);
  if (width === undefined) return listOf(sources, NO_STARS(sources.length), []);
  const radius = Math.max(3, Math.round(1.5 * width));
  const detecting = { fwhm: width, noise, full, radius };
  const found = await detect(detecting);
  const shapes = sources.map((_, k) => shapeFrom(found, k, { fwhm: width, noise: noise[k]!, full: full[k] }));
  // Where stars are too few to show what one looks like, only the plainest are told from knots.
  const sure = (star: Found) => shapes.some((shape) => shape !== undefined) || star.snr >= PLAIN;
  const first = found.filter(sure);
  const lines = shapes.map(
    (shape, k): LineFit => ({ shape: shape ?? roundShape(width), noise: noise[k]!, full: full[k] }),
  );
  let fitted = withStars(first, lines.length);
  const rounds = roundsOf(lines, radius);
  rounds(fitted, [() => 1]);
  fitted = withoutKnots(fitted, sources, noise);
  rounds(fitted, [() => DAMPED]);
  const so = listOf(sources, fitted, lines);
  const behind = await detect({ ...detecting, less: { list: so, light: lightOf(so) } });
  const known = fitted.stars.length;
  fitted = joined(fitted, behind.filter(sure), lines.length);
  const fitters = rounds(fitted, [(s) => (s < known ? DAMPED : 1), () => DAMPED]);
  for (const peaks of fitted.peaks) for (let s = 0; s < peaks.length; s++) peaks[s] = Math.max(0, peaks[s]!);
  const { misfit, explained } = misfitsOf(fitted, fitters, (k, s) =>
    noiseUnder(lineOf(sources[k]!, lines[k]!), fitted.under[k]![s]!),
  );
  const good = kept(fitted, (s) => misfit[s]! < WORST_MISFIT || explained[s]! < ENOUGH_LIGHT);
  return listOf(sources, good, lines);
};

/** On all threads where there are some. */
const detectTogether =
  (lines: readonly StarSource[], { signal, progress, executor }: StripOptions): Detect =>
  async (detecting) => {
    const sources = lines.map(({ source }) => source);
    const pieces = Math.ceil(sources[0]!.height / PIECE_ROWS);
    const shared = executor?.pieces?.({ kind: 'stars', sources, question: detecting, pieces }, progress);
    if (shared) return (await shared).flatMap((packed) => unpackFound(packed, sources.length));
    const detector = createDetector(sources, detecting);
    const all: Found[] = [];
    for (let piece = 0; piece < pieces; piece++) {
      throwIfCancelled(signal);
      all.push(...(await detector(piece)));
      progress?.((piece + 1) / pieces);
    }
    return all;
  };

const NO_STARS = (lines: number): Fitted => withStars([], lines);

const withStars = (stars: readonly Found[], lines: number): Fitted => ({
  stars,
  peaks: Array.from({ length: lines }, () => new Float64Array(stars.length)),
  under: Array.from({ length: lines }, () => new Float64Array(stars.length)),
});

const roundsOf = (lines: readonly LineFit[], radius: number) => {
  const discs = lines.map(() => new Map<Found, Disc>());
  return (fitted: Fitted, parts: readonly ((star: number) => number)[]) =>
    lines.map((line, k) => {
      const fitter = peakFitter(fitted, k, line, radius, discs[k]!);
      for (const part of parts) fitter.round(part);
      return fitter;
    });
};

const kept = ({ stars, peaks, under }: Fitted, keeps: (star: number) => boolean): Fitted => {
  const left = stars.flatMap((_, s) => (keeps(s) ? s : []));
  const of = (values: Float64Array) => Float64Array.from(left, (s) => values[s]!);
  return { stars: left.map((s) => stars[s]!), peaks: peaks.map(of), under: under.map(of) };
};

/** Adds what was found behind stars, where it is not one of them. */
const joined = (fitted: Fitted, more: readonly Found[], lines: number): Fitted => {
  const near = placesNear({ x: fitted.stars.map(({ x }) => x), y: fitted.stars.map(({ y }) => y) });
  const others = more.filter((star) => {
    let alone = true;
    near(star.x, star.y, APART, (s) => {
      const known = fitted.stars[s]!;
      if (Math.hypot(known.x - star.x, known.y - star.y) <= APART) alone = false;
    });
    return alone;
  });
  const added = withStars(others, lines);
  const both = (a: Float64Array, b: Float64Array) => Float64Array.of(...a, ...b);
  return {
    stars: [...fitted.stars, ...others],
    peaks: fitted.peaks.map((peaks, k) => both(peaks, added.peaks[k]!)),
    under: fitted.under.map((under, k) => both(under, added.under[k]!)),
  };
};

/** Bright stars of all, at least so many, tell the usual ratio of two lines; and so many show it. */
const BRIGHT_SHARE = 0.2;
const BRIGHT_STARS = 20;
const SHOWN_BY = 8;
/** A star that is so many times brighter or fainter in a line than usual is a knot of the nebula, where noise cannot be why. */
const FAR_OFF = Math.log(4);
const SURE = 4;
const SURE_PEAK = 5;

/** Drops places whose lines stand in another ratio than those of stars: knots have that of the nebula. */
const withoutKnots = (fitted: Fitted, sources: readonly StarSource[], noise: readonly number[]): Fitted => {
  const { stars, peaks } = fitted;
  if (stars.length <= BRIGHT_STARS) return fitted;
  const first = strongestLine(peaks, noise);
  const order = stars.map((_, s) => s).sort((a, b) => stars[b]!.snr - stars[a]!.snr);
  const bright = order.slice(0, Math.max(BRIGHT_STARS, Math.floor(stars.length * BRIGHT_SHARE)));
  const keep = new Uint8Array(stars.length).fill(1);
  for (const k of sources.keys()) {
    if (k === first) continue;
    const [line, reference] = [peaks[k]!, peaks[first]!];
    const ratios = bright.flatMap((s) =>
      line[s]! > SURE_PEAK * noise[k]! && reference[s]! > SURE_PEAK * noise[first]!
        ? Math.log(line[s]! / reference[s]!)
        : [],
    );
    if (ratios.length < SHOWN_BY) continue;
    const usual = upperMedian(Float64Array.from(ratios));
    for (const s of stars.keys()) {
      const off = line[s]! - Math.exp(usual) * reference[s]!;
      const spread = Math.hypot(noise[k]!, Math.exp(usual) * noise[first]!);
      const floor = (value: number, of: number) => Math.max(value, 1e-3 * of);
      const ratio = Math.log(floor(line[s]!, noise[k]!) / floor(reference[s]!, noise[first]!));
      if (Math.abs(off) > SURE * spread && Math.abs(ratio - usual) > FAR_OFF) keep[s] = 0;
    }
  }
  return kept(fitted, (s) => keep[s] === 1);
};

/** The line whose stars stand out most. */
const strongestLine = (peaks: readonly Float64Array[], noise: readonly number[]): number => {
  const typical = peaks.map((of, k) => upperMedian(Float64Array.from(of)) / noise[k]!);
  return typical.indexOf(Math.max(...typical));
};

const listOf = (sources: readonly StarSource[], fitted: Fitted, lines: readonly LineFit[]): StarList => {
  const { stars, peaks, under } = fitted;
  const order = stars.map((_, s) => s).sort((a, b) => stars[a]!.y - stars[b]!.y || stars[a]!.x - stars[b]!.x);
  const of = (value: (s: number) => number) => Float32Array.from(order, value);
  return {
    lines: sources.map((source, k) => lineOf(source, lines[k])),
    count: stars.length,
    x: of((s) => stars[s]!.x),
    y: of((s) => stars[s]!.y),
    snr: of((s) => stars[s]!.snr),
    peaks: peaks.map((peak) => of((s) => Math.max(0, peak[s]!))),
    under: under.map((level) => of((s) => level[s]!)),
  };
};

const lineOf = ({ name, noise, full }: StarSource, fit: LineFit | undefined): StarLine => {
  const { level, perCount, variance } = noise;
  const line = { name, shape: fit?.shape ?? ROUND, noise: Math.sqrt(variance), perCount, level };
  return full === undefined ? line : { ...line, full };
};

/** Stands for the shape of stars that there are none of. */
const ROUND = { alpha: 1, beta: 2.8, e1: 0, e2: 0 };
