import type { BandFilters, BandShape } from './band-filters.ts';

/** What masters of one scale show over each other in a band. */
export interface Excess extends BandShape {
  /** The lower median of all: what is surely there. Where fewer than two are defined, that one, or 0. */
  readonly shown: Float32Array;
  /** Mean of `shown` over 5 × 5 pixels. */
  readonly level: Float32Array;
  /** Half of the range of the despeckled `shown` in 3 × 3 pixels: what a small shift or blur might make of a star. */
  readonly spared: Float32Array;
  /** Each master less the lower median of the others; 0 where fewer than two are defined. */
  readonly over: readonly Float32Array[];
}

/** Share of the local range that an outlier must exceed (as A. S. Fruchter & R. N. Hook 2002, PASP 114:144, spare stars). */
const SPARED = 0.5;

/** Room for what `measureExcess` finds, to be used again for every band of a shape. */
export const excessRoom = ({ width, rows }: BandShape, masters: number): Excess => {
  const plane = () => new Float32Array(width * rows);
  return { width, rows, shown: plane(), level: plane(), spared: plane(), over: Array.from({ length: masters }, plane) };
};

/**
 * Compares masters pixel by pixel. Light is only ever added, so the lower of two middle values is the trusted one.
 * @param planes the masters on one scale, undefined pixels NaN
 * @param scratch two planes
 */
export const measureExcess = (
  planes: readonly Float32Array[],
  into: Excess,
  filters: BandFilters,
  [one, other]: readonly [Float32Array, Float32Array],
): void => {
  if (planes.length === 2) compareTwo(planes[0]!, planes[1]!, into);
  else compareAll(planes, into);
  filters.mean(into.shown, into.level, 2);
  filters.despeckle(into.shown, one);
  filters.range(one, into.spared, other);
  for (let i = 0; i < into.spared.length; i++) into.spared[i]! *= SPARED;
};

const compareTwo = (a: Float32Array, b: Float32Array, { shown, over }: Excess): void => {
  const [overB, underB] = over as [Float32Array, Float32Array];
  for (let i = 0; i < a.length; i++) {
    const difference = a[i]! - b[i]!;
    if (!Number.isNaN(difference)) {
      overB[i] = difference;
      underB[i] = -difference;
      shown[i] = difference > 0 ? b[i]! : a[i]!;
    } else {
      overB[i] = 0;
      underB[i] = 0;
      shown[i] = Number.isNaN(a[i]!) ? b[i]! || 0 : a[i]!;
    }
  }
};

const compareAll = (planes: readonly Float32Array[], { shown, over }: Excess): void => {
  const rising = new Float64Array(planes.length);
  for (let i = 0; i < shown.length; i++) {
    let count = 0;
    for (const plane of planes) {
      const value = plane[i]!;
      if (Number.isNaN(value)) continue;
      let k = count++;
      for (; k > 0 && rising[k - 1]! > value; k--) rising[k] = rising[k - 1]!;
      rising[k] = value;
    }
    shown[i] = count === 0 ? 0 : rising[(count - 1) >> 1]!;
    // Without one of the lower half, the lower median of the rest is the next value above.
    const low = rising[(count - 2) >> 1]!;
    const high = rising[((count - 2) >> 1) + 1]!;
    for (const [p, plane] of planes.entries()) {
      const value = plane[i]!;
      over[p]![i] = count < 2 || Number.isNaN(value) ? 0 : value - (value <= low ? high : low);
    }
  }
};
