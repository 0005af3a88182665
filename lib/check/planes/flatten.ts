import type { Scratch } from '../../plane/scratch.ts';
import { blurWeighted, type Size } from './blur.ts';
import { eachInGrid, spreadGrid } from './local-spread.ts';

/** A line at the size that trails are looked for in, and how plainly its pixels stand out. */
export interface StandingOut extends Size {
  /** Means of the master; 0 where undefined. */
  readonly values: Float32Array;
  /** 1 where the plane and what surrounds it is defined. */
  readonly defined: Float32Array;
  /** Values less their smooth part, over their local spread. */
  readonly standing: Float32Array;
}

/** Pixels so near to undefined ones do not count. */
const MARGIN = 2;
/** Deviation of what is smooth, and how far a value must stand out of it not to belong to it. */
const SMOOTH = 3;
const OUT = 4;

/** Looks how far each pixel of a plane stands out. @param binned NaN where undefined */
export const standOut = (binned: Float32Array, size: Size, scratch: Scratch): StandingOut => {
  const defined = shrunkBy(MARGIN, binned, size);
  const values = binned.map((value, i) => (defined[i] === 1 ? value : 0));
  let weights = defined;
  let standing: Float32Array = new Float32Array(values.length);
  for (let round = 0; round < 2; round++) {
    standing = lessSmooth(values, weights, defined, size, SMOOTH, scratch);
    overSpread(standing, defined, size);
    weights = standing.map((of, i) => (Math.abs(of) < OUT ? defined[i]! : 0));
  }
  return { width: size.width, height: size.height, values, defined, standing };
};

/** Values less their smooth part, 0 where undefined. */
const lessSmooth = (
  values: Float32Array,
  weights: Float32Array,
  defined: Float32Array,
  size: Size,
  sigma: number,
  scratch: Scratch,
): Float32Array => {
  const smooth = blurWeighted(values, weights, size, sigma, scratch);
  for (let i = 0; i < smooth.length; i++) smooth[i] = (values[i]! - smooth[i]!) * defined[i]!;
  return smooth;
};

/** Divides values by their local spread, in place. */
const overSpread = (values: Float32Array, weights: Float32Array, size: Size, most = Number.POSITIVE_INFINITY): void => {
  eachInGrid(spreadGrid(values, weights, size), size, (i, spread) => {
    values[i] = Math.max(-most, Math.min(most, values[i]! / spread));
  });
};

/** 1 where a pixel and all so near to it are defined and inside. */
const shrunkBy = (margin: number, values: Float32Array, { width, height }: Size): Float32Array => {
  const across = new Uint8Array(values.length);
  for (let y = 0; y < height; y++) {
    let run = 0;
    for (let x = 0; x < width; x++) {
      run = Number.isNaN(values[y * width + x]!) ? 0 : run + 1;
      if (run > 2 * margin) across[y * width + x - margin] = 1;
    }
  }
  const kept = new Float32Array(values.length);
  const runs = new Uint32Array(width);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const run = across[y * width + x] === 0 ? 0 : runs[x]! + 1;
      runs[x] = run;
      if (run > 2 * margin) kept[(y - margin) * width + x] = 1;
    }
  return kept;
};

/** What a pixel that no trail makes looks like: it stands out here and in another line, or it is far too dark. */
const BRIGHT = 4;
const BRIGHT_ELSEWHERE = 3;
const DARK = -10;

/** 1 where a line can be looked at for trails, without stars, which show in several lines. */
export const weightsOf = (line: StandingOut, others: readonly StandingOut[]): Float32Array => {
  const { width, height, defined } = line;
  const weights = defined.slice();
  for (let y = 0, i = 0; y < height; y++)
    for (let x = 0; x < width; x++, i++) {
      const out = line.standing[i]!;
      const elsewhere = others.length === 0 || others.some((other) => other.standing[i]! > BRIGHT_ELSEWHERE);
      if (!((out > BRIGHT && elsewhere) || out < DARK)) continue;
      for (let v = Math.max(0, y - 1); v <= Math.min(height - 1, y + 1); v++)
        for (let u = Math.max(0, x - 1); u <= Math.min(width - 1, x + 1); u++) weights[v * width + u] = 0;
    }
  return weights;
};

/** Values above this do not pull at what is smooth. */
const PULLS = 5;
/** The most that a pixel counts, in units of the local spread. */
const MOST = 5;

/** What is left of a line once all wider than `sigma` is taken out, over its local spread, at most 5, and 0 without weight. */
export const flattened = (line: StandingOut, weights: Float32Array, sigma: number, scratch: Scratch): Float32Array => {
  const pulling = weights.map((weight, i) => (line.standing[i]! < PULLS ? weight : 0));
  const left = lessSmooth(line.values, pulling, line.defined, line, sigma, scratch);
  overSpread(left, weights, line, MOST);
  for (let i = 0; i < left.length; i++) left[i]! *= weights[i]!;
  return left;
};

/** The most that a pixel counts in a line of the transform. */
const CLIP = 3;

/** The same plane over its local spread, clipped at 3, and with a deviation of 1 over all. In place. */
export const levelled = (values: Float32Array, weights: Float32Array, size: Size): Float32Array => {
  overSpread(values, weights, size, CLIP);
  let [count, sum, squares] = [0, 0, 0];
  for (let i = 0; i < values.length; i++) {
    values[i]! *= weights[i]!;
    if (weights[i] === 0) continue;
    const value = values[i]!;
    count++;
    sum += value;
    squares += value * value;
  }
  const deviation = count === 0 ? 0 : Math.sqrt(Math.max(0, squares / count - (sum / count) ** 2));
  for (let i = 0; i < values.length; i++) values[i]! /= Math.max(1e-6, deviation);
  return values;
};
