import type { LineSample } from './sample.ts';

/** Parts of a sample that colours have to tell apart. */
export interface Populations {
  readonly lines: number;
  /** Strengths of the pixels with signal, line by line within a pixel. */
  readonly values: Float64Array;
  /** Indices of those that are well above the sky. */
  readonly bright: readonly number[];
  /** For each line the pixels that have most of it beside the others. */
  readonly byLine: readonly (readonly number[])[];
  /** Strengths of the lines in the sky. */
  readonly sky: readonly number[];
  /** Mean excess over the sky of each population, line by line. */
  readonly excess: readonly (readonly number[])[];
}

/** The darkest pixels count as sky: this share of all. */
const DARK = 0.25;
/** Times its noise by which a line has to exceed the sky. */
const SIGNAL = 4;
/** Noise of a picture that shows none. */
const LEAST_NOISE = 0.01;
const FEWEST = 300;
/** Of the pixels with signal the dimmest are left out, and the ends of the shares are a population. */
const [DIM, TOP] = [0.3, 0.85];

/** Every k-th of the pixels with signal, with what belongs to them: a search asks often, and needs few at first. */
export const thinned = ({ lines, values, bright, byLine, ...rest }: Populations, step: number): Populations => {
  const kept = Array.from({ length: Math.ceil(values.length / lines / step) }, (_, k) => k * step);
  const among = (members: readonly number[]) => members.filter((i) => i % step === 0).map((i) => i / step);
  return {
    lines,
    values: Float64Array.from(kept.flatMap((i) => [...values.subarray(i * lines, (i + 1) * lines)])),
    bright: among(bright),
    byLine: byLine.map((members) => (members.some((i) => i % step === 0) ? among(members) : [0])),
    ...rest,
  };
};

const quantile = (values: ArrayLike<number>, share: number): number => {
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
};

/** Population k: the 15 % of the bright pixels in which line k, over the sky and in its own scale, has the largest share. */
export const populationsOf = ({ values, names, skyNoise }: LineSample): Populations => {
  const n = names.length;
  const count = values.length / n;
  const at = (i: number, c: number) => values[i * n + c]!;
  const all = [...Array(count).keys()];
  const sums = all.map((i) => names.reduce((sum, _, c) => sum + at(i, c), 0));
  const dark = quantile(sums, DARK);
  const sky = names.map((_, c) =>
    quantile(
      all.filter((i) => sums[i]! <= dark).map((i) => at(i, c)),
      0.5,
    ),
  );
  const clear = all.map((i) => Math.max(...sky.map((s, c) => (at(i, c) - s) / Math.max(skyNoise[c]!, LEAST_NOISE))));
  const enough = quantile(clear, Math.max(0, 1 - FEWEST / count));
  const kept = all.filter((i) => clear[i]! >= Math.min(SIGNAL, enough));
  const signal = Float64Array.from(kept.flatMap((i) => names.map((_, c) => at(i, c))));
  const over = names.map((_, c) => kept.map((i) => Math.max(0, at(i, c) - sky[c]!)));
  const scaled = over.map((line) => {
    const scale = quantile(line, 0.95) || 1;
    return line.map((v) => v / scale);
  });
  const totals = kept.map((_, i) => scaled.reduce((sum, line) => sum + line[i]!, 0));
  const dim = quantile(totals, DIM);
  const bright = kept.map((_, i) => i).filter((i) => totals[i]! > dim);
  const byLine = scaled.map((line) => {
    const share = (i: number) => line[i]! / Math.max(1e-9, totals[i]!);
    const top = quantile(bright.map(share), TOP);
    return bright.filter((i) => share(i) >= top);
  });
  const excess = byLine.map((members) =>
    names.map(
      (_, c) => members.reduce((sum, i) => sum + signal[i * n + c]! - sky[c]!, 0) / Math.max(1, members.length),
    ),
  );
  return { lines: n, values: signal, bright, byLine, sky, excess };
};
