import { type Bend, bump } from './finish.ts';

/** The angle from one hue to another, the shorter way: −180 … 180 degrees. */
export const hueStep = (from: number, to: number): number => {
  const step = (to - from) % 360;
  if (step > 180) return step - 360;
  return step < -180 ? step + 360 : step;
};

/** By how many degrees all bends together turn a hue. */
export const turnAt = (bends: readonly Bend[], hue: number): number =>
  bends.reduce((sum, { at, to, width }) => sum + hueStep(at, to) * bump(hueStep(at, hue) / width), 0);

/** Their factor on the chroma of a hue. */
export const chromaAt = (bends: readonly Bend[], hue: number): number =>
  bends.reduce((product, { at, width, chroma }) => product * (1 + (chroma - 1) * bump(hueStep(at, hue) / width)), 1);

/** Places at which the slope of each bend is looked at. */
const STEPS = 400;
/** The slope between two places differs from theirs by less than this. */
const LEAST_SLOPE = 1e-3;

/**
 * Whether two hues would come out as one, or change places: 1 + Σ (to − at)/width · b′((h − at)/width) must stay positive.
 * One bend folds from |to − at| = 0.6495 · width.
 */
export const folds = (bends: readonly Bend[]): boolean =>
  bends.some(({ at, width }) => {
    for (let k = -STEPS; k <= STEPS; k++) if (slopeAt(bends, at + (width * k) / STEPS) < LEAST_SLOPE) return true;
    return false;
  });

const slopeAt = (bends: readonly Bend[], hue: number): number =>
  bends.reduce((sum, { at, to, width }) => {
    const t = hueStep(at, hue) / width;
    return Math.abs(t) < 1 ? sum - (hueStep(at, to) / width) * 4 * t * (1 - t * t) : sum;
  }, 1);
