import type { GamutName } from '../../colour/gamut.ts';
import { SPACES } from '../../colour/spaces.ts';
import { magnificationOf } from '../../finish/magnification.ts';
import type { OutputSample } from '../../plane/picture.ts';
import type { Settled } from '../../recipe/settle/settled.ts';
import { type PlannedCurve, planCurve } from './curve-plan.ts';
import type { Limits } from './table.ts';

/** How the kernel computes these settled numbers. */
export interface KernelPlan {
  readonly settled: Settled;
  readonly curves: readonly PlannedCurve[];
  readonly intensity: PlannedCurve | undefined;
  /** Mixed in float64, because weights of both signs may cancel what float32 keeps. */
  readonly wideMix: boolean;
  /** Whether a colour can leave [0, 1] at all. */
  readonly canLeaveRange: boolean;
}

/**
 * Gamut methods the kernel holds, by the numbers it knows them by. Those that search by steps are left out: they give
 * other colours for the least change of a number.
 */
export const GAMUT_CODE: Readonly<Partial<Record<GamutName, number>>> = { clip: 0, chroma: 1, smooth: 2 };

const LSB = 1 / 65535;
/** Relative rounding of one float32 operation. */
const EPS = 2 ** -24;
/** Share of one step of 16 bits that tables, and all errors together, may take. */
const TABLE_SHARE = 0.25 * LSB;
const ALL_SHARE = 0.8 * LSB;
/** Steepest slope of a transfer curve, at black: what an absolute error in light becomes in display values. */
const TRANSFER_SLOPE = 12.92;
/** Roundings in looking at a table or computing a curve, and in storing the result. */
const CURVE_ROUNDINGS = 5;

/** Relative error of a sample's place between black and white: four roundings, or one after float64. */
const unitError = ({ precise }: PlannedCurve): number => (precise ? EPS : 4 * EPS);

/**
 * A plan for the fast kernel, or undefined where float32 would leave the promised step of 16 bits: very steep curves,
 * or weights whose cancellations lightness would magnify. Those are left to the reference kernel.
 * @param sample what is written: for 8 bits the table of the intensity may be coarser, and fits the first-level cache
 */
export const planKernel = (settled: Settled, sample: OutputSample = 'u16'): KernelPlan | undefined => {
  const known = plans.get(settled) ?? new Map<OutputSample, KernelPlan | undefined>();
  if (!known.has(sample)) known.set(sample, makePlan(settled, sample));
  plans.set(settled, known);
  return known.get(sample);
};

/** Fitting tables takes longer than a small picture: who asks whether there is a plan and then follows it pays once. */
const plans = new WeakMap<Settled, Map<OutputSample, KernelPlan | undefined>>();

const makePlan = (settled: Settled, sample: OutputSample): KernelPlan | undefined => {
  const { channels, lightness, mixIn } = settled;
  if (channels.length > 8 || !channels.every(hasUsualWidth)) return undefined;
  const leaves = canLeaveRange(settled);
  if ((leaves || settled.finish) && GAMUT_CODE[settled.gamut] === undefined) return undefined;
  const inLight = mixIn === 'light';
  const relative = inLight || lightness !== undefined;
  const limits = finishLimits(settled, relative ? RELATIVE : leaves || settled.finish ? THROUGH_LIGHT : ABSOLUTE);
  const alike = new Map<string, ReturnType<typeof planCurve>>();
  const curves = channels.map(({ stretch }) => {
    const key = JSON.stringify(stretch);
    if (!alike.has(key)) alike.set(key, planCurve(stretch, limits));
    return alike.get(key);
  });
  const intensity =
    settled.intensity && planCurve(settled.intensity, finishLimits(settled, intensityLimits(settled, sample)));
  if (!curves.every((c) => c !== undefined) || (settled.intensity && !intensity)) return undefined;
  const plan = { settled, curves, intensity, canLeaveRange: leaves };
  if (!relative) return planDisplay(plan);
  return planRelative(plan);
};

type Draft = Omit<KernelPlan, 'wideMix'>;

const ABSOLUTE: Limits = { error: TABLE_SHARE, relativeError: Number.POSITIVE_INFINITY };
const RELATIVE: Limits = { error: TABLE_SHARE, relativeError: 2e-6 };
/** Display values that may go through light and come back dark, which multiplies their errors. */
const THROUGH_LIGHT: Limits = { ...ABSOLUTE, error: TABLE_SHARE / TRANSFER_SLOPE };

/** Dark channels of bright colours are small differences of large numbers: a finish shows their errors this much more. */
const DARK_CHANNELS = 2;

/** By how much the errors of what was mixed count more where a finish follows. */
const countOf = ({ finish }: Settled): number => (finish === undefined ? 1 : DARK_CHANNELS * magnificationOf(finish));

const finishLimits = (settled: Settled, { error, relativeError }: Limits): Limits => {
  const count = countOf(settled);
  return { error: error / count, relativeError: relativeError / count };
};

/**
 * Colours without negative channels are at most three times their intensity, so its absolute error counts; those with
 * some, and lightness, multiply it without bound. A sixteenth of a step of 8 bits is sixteen of 16.
 */
const intensityLimits = ({ lightness, matrix, space }: Settled, sample: OutputSample): Limits => {
  if (lightness !== undefined) return RELATIVE;
  const share = sample === 'u8' ? 16 : 1;
  if (!hasNegative(matrix)) return { ...ABSOLUTE, error: share * THROUGH_LIGHT.error };
  // The curve scales all three colours alike; encoding takes a share of light to less than half of it.
  const slope = SPACES[space].transfer === 'linear' ? 1 : 0.5;
  return { error: Number.POSITIVE_INFINITY, relativeError: (share * TABLE_SHARE) / slope };
};

const hasNegative = (matrix: Settled['matrix']): boolean => matrix.some((row) => row.some((w) => w < 0));

/** Far from the ends of the float32 range, and so of ordinary precision. */
const hasUsualWidth = ({ black, white, background }: Settled['channels'][number]): boolean => {
  const width = white - black;
  return width > 1e-30 && width < 1e30 && Math.abs(background) + Math.abs(black) < 1e30;
};

const weightSums = (draft: Draft, error: (curve: PlannedCurve) => number): number =>
  Math.max(
    ...draft.settled.matrix.map((row) => row.reduce((sum, w, c) => sum + Math.abs(w) * error(draft.curves[c]!), 0)),
  );

/** Display values: absolute errors, multiplied by the weights. */
const planDisplay = (draft: Draft): KernelPlan | undefined => {
  const n = draft.curves.length;
  const error = (curve: PlannedCurve) =>
    curve.quality.error + unitError(curve) * curve.quality.condition + (CURVE_ROUNDINGS + n) * EPS;
  if (weightSums(draft, error) * countOf(draft.settled) <= ALL_SHARE) return { ...draft, wideMix: false };
  return allLinear(draft) ? { ...draft, wideMix: true } : undefined;
};

const allLinear = ({ curves }: Draft): boolean => curves.every(({ plan }) => plan.kind === 'linear');

/** Light and lightness: errors in proportion to values, which only sums without cancellation keep. */
const planRelative = (draft: Draft): KernelPlan | undefined => {
  const { settled, curves, intensity } = draft;
  const weights = [...settled.matrix.flat(), ...(settled.lightness ?? [])];
  const wideMix = weights.some((w) => w < 0);
  if (wideMix && (settled.lightness !== undefined || !allLinear(draft))) return undefined;
  const n = curves.length;
  const error = (curve: PlannedCurve) =>
    curve.quality.relativeError + unitError(curve) * curve.quality.relativeCondition + (CURVE_ROUNDINGS + n) * EPS;
  // Wide mixes stay in float64 until the intensity curve is applied.
  const mixed = wideMix ? 0 : Math.max(...curves.map(error));
  const slope = wideMix ? 0 : (intensity?.quality.relativeCondition ?? 0);
  const after = mixed * (1 + slope) + (slope + CURVE_ROUNDINGS) * EPS;
  return after * countOf(settled) <= ALL_SHARE ? { ...draft, wideMix } : undefined;
};

/** False where all mixed colours are means of values in [0, 1]. */
const canLeaveRange = ({ matrix, mixIn, intensity, lightness }: Settled): boolean => {
  if (lightness !== undefined || (mixIn === 'light' && intensity !== undefined)) return true;
  return matrix.some((row) => row.some((w) => w < 0) || row.reduce((a, b) => a + b, 0) > 1 + 1e-6);
};
