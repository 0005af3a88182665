import type { HeaderFacts } from '../plane/facts.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { rowBuffer } from '../plane/row-buffer.ts';
import { isWide } from '../plane/strips.ts';

/** One master of several for a line, and how it goes into their combination. */
export interface Part {
  readonly source: PlaneSource;
  /** Brings its values to those of the first master: scale · x + offset. */
  readonly scale: number;
  readonly offset: number;
  /** 1 / variance of its noise after scaling, over the sum of all: the weights of all parts sum to 1. */
  readonly weight: number;
}

/**
 * Weights 1/σ², over their sum: the mean of least variance.
 * Source: e.g. J. R. Taylor, "An Introduction to Error Analysis", 2nd ed., section 7.2.
 * Where a σ is 0 or not finite no such weights exist: all are then equal.
 */
export const inverseVarianceWeights = (sigmas: readonly number[]): number[] => {
  const exact = sigmas.map((s) => 1 / (s * s));
  const usable = exact.every((w) => w > 0 && Number.isFinite(w));
  const weights = usable ? exact : sigmas.map(() => 1);
  const total = weights.reduce((a, b) => a + b, 0);
  return weights.map((w) => w / total);
};

/** Noise of a weighted mean of independent values: √Σ(w σ)² / Σw. */
export const combinedNoise = (sigmas: readonly number[], weights: readonly number[]): number =>
  Math.sqrt(sigmas.reduce((sum, s, i) => sum + (s * weights[i]!) ** 2, 0)) / weights.reduce((a, b) => a + b, 0);

/**
 * Several masters of one line as one: at each pixel Σ weight·(scale·x + offset) / Σ weight over those defined there,
 * computed in float64. Undefined where all are. Streams; holds the rows asked for once more for each part.
 */
export const combined = (parts: readonly Part[]): PlaneSource => {
  const [first] = parts;
  if (first === undefined) throw new RangeError('nothing to combine');
  const { width } = first.source;
  const buffers = parts.map(({ source }) => rowBuffer(source));
  return {
    ...first.source,
    file: parts.map(({ source }) => source.file).join(', '),
    type: parts.some(({ source }) => isWide(source)) ? 'f64' : 'f32',
    fullScale: undefined,
    raw: undefined,
    facts: combinedFacts(parts.map(({ source }) => source.facts)),
    warnings: parts.flatMap(({ source }) => source.warnings.map((w) => `${w} (${source.file})`)),
    async readRows(y, rows, into) {
      const sums = new Float64Array(rows * width);
      const totals = new Float64Array(rows * width);
      for (const [p, { scale, offset, weight }] of parts.entries())
        await buffers[p]!.read(y, rows, (data) => {
          for (let i = 0; i < data.length; i++) {
            const value = scale * data[i]! + offset;
            if (value - value !== 0) continue;
            sums[i]! += weight * value;
            totals[i]! += weight;
          }
        });
      // 0/0 where nothing is defined: NaN, as it should be.
      for (let i = 0; i < sums.length; i++) into[i] = sums[i]! / totals[i]!;
    },
  };
};

/** The first master's facts; hours and subs are summed where all state them. */
const combinedFacts = (all: readonly HeaderFacts[]): HeaderFacts => {
  const { hours: _, subs: __, ...first } = all[0]!;
  const sum = (key: 'hours' | 'subs') => {
    const total = all.reduce((t, facts) => t + (facts[key] ?? Number.NaN), 0);
    return Number.isFinite(total) ? { [key]: total } : {};
  };
  return { ...first, ...sum('hours'), ...sum('subs') };
};
