import type { HeaderFacts } from '../plane/facts.ts';
import { eachMarked, type Mask } from '../plane/mask.ts';
import type { Origin, OriginPart } from '../plane/origin.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
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
  /** Its pixels that the other masters contradict; none where absent. */
  readonly outliers?: { readonly mask: Mask } | undefined;
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
 * Several masters of one line as one: at each pixel Σ weight·(scale·x + offset) / Σ weight over those defined there and no
 * outlier, computed in float64; where all that are defined are outliers, over these. Undefined where all are. Streams;
 * holds the rows asked for once more for each part.
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
    rowsTogether: Math.max(...parts.map(({ source }) => source.rowsTogether ?? 1)),
    origin: combinedOrigin(parts),
    facts: combinedFacts(parts.map(({ source }) => source.facts)),
    warnings: parts.flatMap(({ source }) => source.warnings.map((w) => `${w} (${source.file})`)),
    async readRows(y, rows, into) {
      const sums = new Float64Array(rows * width);
      const totals = new Float64Array(rows * width);
      const left: LeftOut[] = [];
      for (const [p, part] of parts.entries())
        await buffers[p]!.read(y, rows, (data) => {
          if (part.outliers) leaveOut(data, part, y, rows, left);
          const { scale, offset, weight } = part;
          for (let i = 0; i < data.length; i++) {
            const value = scale * data[i]! + offset;
            if (value - value !== 0) continue;
            sums[i]! += weight * value;
            totals[i]! += weight;
          }
        });
      bringBack(left, sums, totals);
      // 0/0 where nothing is defined: NaN, as it should be.
      for (let i = 0; i < sums.length; i++) into[i] = sums[i]! / totals[i]!;
    },
  };
};

const combinedOrigin = (parts: readonly Part[]): Origin | undefined => {
  const all = parts.flatMap(({ source, scale, offset, weight, outliers }): OriginPart[] =>
    source.origin === undefined ? [] : [{ of: source.origin, scale, offset, weight, outliers: outliers?.mask }],
  );
  return all.length === parts.length ? { step: 'combine', parts: all } : undefined;
};

/** A pixel of some rows that was left out of the mean. */
interface LeftOut {
  readonly index: number;
  readonly value: number;
  readonly weight: number;
}

/** Makes the outliers of a part undefined, and notes what they were. */
const leaveOut = (data: Samples, part: Part, y: number, rows: number, left: LeftOut[]): void => {
  const { scale, offset, weight } = part;
  eachMarked(part.outliers!.mask, y, rows, (index) => {
    const value = scale * data[index]! + offset;
    if (value - value === 0) left.push({ index, value, weight });
    data[index] = Number.NaN;
  });
};

/** No pixel gets lost because all that show it contradict each other. */
const bringBack = (left: readonly LeftOut[], sums: Float64Array, totals: Float64Array): void => {
  const empty = left.filter(({ index }) => totals[index] === 0);
  for (const { index, value, weight } of empty) {
    sums[index]! += weight * value;
    totals[index]! += weight;
  }
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
