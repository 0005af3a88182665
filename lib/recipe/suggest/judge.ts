import { rgbToOklab } from '../../colour/oklab.ts';
import { SPACES } from '../../colour/spaces.ts';
import { separations } from '../../colour/statistics.ts';
import type { Finish } from '../../finish/finish.ts';
import { type Matrix, type Triple, transpose } from '../../plane/linear.ts';
import { pixelFunction } from '../settle/pixel.ts';
import type { Settled } from '../settle/settled.ts';
import { momentsOf } from './moments.ts';
import type { LineSample } from './sample.ts';

/** What a balanced 3 × N matrix does with a sample of lines. */
export interface Judgement {
  /**
   * Square root of the determinant of the covariance of OKLab a and b over the sample: how much of the plane of colours
   * is used. For two lines, whose colours lie on a curve, the variance along its main axis instead.
   */
  readonly spread: number;
  /** Root mean square of the norms of the rows: by how much the matrix raises noise that is equal in all lines. */
  readonly noise: number;
  /** The same with each line's own noise, relative to their root mean square. */
  readonly screenNoise: number;
  /** Smallest CIEDE2000 difference between two lines' colours at full strength. */
  readonly separation: number;
  /** Share of the sample, 0…1, whose mix leaves the space before highlights and gamut are mapped. */
  readonly outside: number;
}

/** The settled numbers of a plain mix in display values of lines that are stretched already. */
export const mixOnly = (names: readonly string[], matrix: Matrix, finish?: Finish): Settled => ({
  channels: names.map((name) => ({ name, background: 0, black: 0, white: 1, stretch: { curve: 'linear' } })),
  matrix,
  mixIn: 'display',
  space: 'srgb',
  highlights: 'ratio',
  gamut: 'smooth',
  ...(finish && { finish }),
});

/** @param finish what follows the matrix; noise is that of the matrix alone */
export const judge = (matrix: Matrix, sample: LineSample, finish?: Finish): Judgement => {
  const { covariance } = momentsOf(chromasOf(matrix, sample, finish), 2);
  const [[aa, ab], [, bb]] = covariance as [[number, number], [number, number]];
  const determinant = Math.max(0, aa * bb - ab * ab);
  const mainAxis = (aa + bb) / 2 + Math.sqrt(((aa - bb) / 2) ** 2 + ab * ab);
  return {
    spread: sample.names.length > 2 ? Math.sqrt(determinant) : mainAxis,
    ...noiseOf(matrix, sample.noise),
    separation: Math.min(
      ...separations(shownColours(matrix, sample, finish), SPACES.srgb)
        .filter(({ viewer }) => viewer === 'all')
        .map(({ ciede2000 }) => ciede2000),
    ),
    outside: outsideOf(matrix, sample).outside,
  };
};

/** Noise after a matrix, for equal noise in all lines and for each line's own. */
export const noiseOf = (matrix: Matrix, noise: readonly number[]): { noise: number; screenNoise: number } => {
  const rms = (weights: readonly number[]) =>
    Math.sqrt(matrix.reduce((sum, row) => sum + row.reduce((s, w, c) => s + (w * weights[c]!) ** 2, 0), 0) / 3);
  const own = Math.sqrt(noise.reduce((sum, s) => sum + s * s, 0) / noise.length);
  const even = rms(noise.map(() => 1));
  return { noise: even, screenNoise: own > 0 ? rms(noise) / own : even };
};

/** OKLab a and b of the sampled pixels as they are shown. */
const chromasOf = (matrix: Matrix, { names, values }: LineSample, finish?: Finish): Float64Array => {
  const n = names.length;
  const pixel = pixelFunction(mixOnly(names, matrix, finish));
  const { decode } = SPACES.srgb;
  const rgb = new Float64Array(3);
  const chromas = new Float64Array((values.length / n) * 2);
  for (let at = 0, to = 0; at < values.length; at += n, to += 2) {
    pixel(values.subarray(at, at + n), rgb);
    for (let b = 0; b < 3; b++) rgb[b] = decode(rgb[b]!);
    rgbToOklab(rgb, 0, SPACES.srgb, rgb, 0);
    chromas[to] = rgb[1]!;
    chromas[to + 1] = rgb[2]!;
  }
  return chromas;
};

/** Linear RGB of each line alone at full strength, as it is shown. */
const shownColours = (matrix: Matrix, { names }: LineSample, finish?: Finish): Triple[] => {
  const pixel = pixelFunction(mixOnly(names, matrix, finish));
  return names.map((_, line) => {
    const rgb = new Float64Array(3);
    pixel(
      names.map((_, c) => (c === line ? 1 : 0)),
      rgb,
    );
    return [...rgb].map(SPACES.srgb.decode) as unknown as Triple;
  });
};

/** How far and how often the mix leaves 0…1: the share of the sample that does, and its distance, averaged over all. */
export const outsideOf = (matrix: Matrix, { names, values }: LineSample): { outside: number; excess: number } => {
  const n = names.length;
  let outside = 0;
  let excess = 0;
  for (let at = 0; at < values.length; at += n) {
    let [least, most] = [0, 1];
    for (const row of matrix) {
      let mixed = 0;
      for (let c = 0; c < n; c++) mixed += row[c]! * values[at + c]!;
      least = Math.min(least, mixed);
      most = Math.max(most, mixed);
    }
    if (least < 0 || most > 1) outside++;
    excess += most - 1 - least;
  }
  const count = values.length / n;
  return { outside: outside / count, excess: excess / count };
};

/** Rows that leave each line its own colour: red, green, blue for three; the second of two shares green and blue. */
export const plainMatrix = (lines: number): number[][] =>
  transpose(
    lines === 2
      ? [
          [1, 0, 0],
          [0, 1, 1],
        ]
      : [
          [1, 0, 0],
          [0, 1, 0],
          [0, 0, 1],
        ],
  );
