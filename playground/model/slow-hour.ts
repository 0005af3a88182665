import type { HoursCurve } from '../../lib/web/hours-plan.ts';

/** One more hour that takes less than this share of the noise brings little. */
export const LITTLE = 0.02;

/** Noise after so many hours, between the points of a curve. */
export const noiseAt = (points: HoursCurve['points'], hours: number): number => {
  const next = points.findIndex((point) => point.hours >= hours);
  const [a, b] = [points[Math.max(0, next - 1)]!, points[next]!];
  return b.hours > a.hours ? a.noise + ((b.noise - a.noise) * (hours - a.hours)) / (b.hours - a.hours) : b.noise;
};

/**
 * The hours to come, in tenths, after which one more takes less than `LITTLE` of the noise.
 * @param points noise after hours to come, which falls
 * @returns undefined where the curve ends before
 */
export const littleFrom = (points: HoursCurve['points']): number | undefined => {
  const end = points.at(-1)!.hours;
  for (let tenths = 0; tenths / 10 + 1 <= end; tenths++) {
    const now = noiseAt(points, tenths / 10);
    if (now - noiseAt(points, tenths / 10 + 1) < LITTLE * now) return tenths / 10;
  }
  return undefined;
};
