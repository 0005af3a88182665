import type { SettledStretch } from '../../recipe/settle/settled.ts';
import type { CurveKind } from '../../stretch/curve.ts';
import { CURVES } from '../../stretch/curves.ts';
import { type CurveTable, fitTable, type Limits, type TableQuality } from './table.ts';

/** A curve in the form that the kernel computes. */
export type CurvePlan =
  | { readonly kind: 'linear' }
  /** t / (a + b · (t · sign + shift)). */
  | { readonly kind: 'bias'; readonly a: number; readonly b: number; readonly sign: number; readonly shift: number }
  | { readonly kind: 'table'; readonly table: CurveTable };

export interface PlannedCurve {
  readonly plan: CurvePlan;
  readonly quality: TableQuality;
  /** So steep that levels are applied in float64. */
  readonly precise: boolean;
}

/** Slopes in proportion beyond this magnify the roundings of float32 levels too much. */
const STEEP = 8;

const EXACT = { error: 0, relativeError: 0 };

/**
 * Rational and linear curves are computed as they are, the others by a table within the tolerance.
 * Undefined where no table of reasonable size is that good.
 */
export const planCurve = (stretch: SettledStretch, limits: Limits): PlannedCurve | undefined => {
  if (stretch.curve === 'linear') return planned({ kind: 'linear' }, { ...EXACT, condition: 1, relativeCondition: 1 });
  if (stretch.curve === 'bias') return biasPlan(stretch.a!);
  const { curve, ...parameters } = stretch;
  const fitted = fitTable((CURVES[curve] as CurveKind).curve(parameters), limits, probesOf(stretch));
  return fitted && planned({ kind: 'table', table: fitted.table }, fitted.quality);
};

const planned = (plan: CurvePlan, quality: TableQuality): PlannedCurve => ({
  plan,
  quality,
  precise: quality.condition > STEEP,
});

/**
 * t / (k(1 − t) + 1) with k = 1/a − 2. For k < 0 the denominator is written (1 + k) − k·t, so that it is a sum of
 * positive numbers in both cases and float32 loses nothing.
 */
const biasPlan = (a: number): PlannedCurve => {
  const k = 1 / a - 2;
  const plan =
    k > 0
      ? { kind: 'bias' as const, a: 1, b: k, sign: -1, shift: 1 }
      : { kind: 'bias' as const, a: 1 + k, b: -k, sign: 1, shift: 0 };
  const steepest = Math.max(1, k + 1);
  return planned(plan, { ...EXACT, condition: steepest, relativeCondition: steepest });
};

/** Knots and their neighbourhood: narrow steps must not hide between the places where a table is checked. */
const probesOf = ({ points }: SettledStretch): number[] =>
  (points ?? []).flatMap(([x], i, all) => {
    const next = all[i + 1]?.[0] ?? 1;
    const before = all[i - 1]?.[0] ?? 0;
    return [x, x + (next - x) / 3, x + (2 * (next - x)) / 3, before + (x - before) / 2];
  });
