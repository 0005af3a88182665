import type { Box } from '../../lib/plane/box.ts';
import type { Rings } from '../../lib/plane/outline.ts';
import { MOST, NO_PLAN, type Plan } from './plan.ts';

/** The plan in what was kept, which anyone may have changed: whatever is no good is as in the beginning. */
export const checkedPlan = (kept: unknown): Plan => {
  const plan = (typeof kept === 'object' && kept !== null ? kept : {}) as Readonly<Record<keyof Plan, unknown>>;
  const within = (key: 'snr' | 'more' | 'nights' | 'change', low: number, high: number): number => {
    const value = plan[key];
    return typeof value === 'number' && value >= low && value <= high ? value : NO_PLAN[key];
  };
  const { goal } = plan;
  const feature = boxIn(plan.feature);
  const outline = feature && ringsIn(plan.outline);
  return {
    goal: goal === 'colour' || goal === 'snr' ? goal : NO_PLAN.goal,
    snr: within('snr', 0.1, MOST.snr),
    more: within('more', 0, MOST.hours),
    nights: Math.round(within('nights', 1, MOST.nights)),
    change: within('change', 0, MOST.change),
    typed: hoursIn(plan.typed),
    caps: hoursIn(plan.caps),
    ...(feature && { feature }),
    ...(outline && { outline }),
  };
};

const hoursIn = (kept: unknown): Record<string, number> => {
  const entries = typeof kept === 'object' && kept !== null ? Object.entries(kept).slice(0, 64) : [];
  return Object.fromEntries(entries.filter(([, hours]) => typeof hours === 'number' && hours >= 0 && hours < 1e6));
};

const boxIn = (kept: unknown): Box | undefined => {
  const { x, y, width, height } = (kept ?? {}) as Record<string, unknown>;
  const sides = [x, y, width, height];
  if (!sides.every((side) => Number.isInteger(side) && (side as number) >= 0 && (side as number) < 1e6))
    return undefined;
  const [left, top, wide, high] = sides as [number, number, number, number];
  return wide > 0 && high > 0 ? { x: left, y: top, width: wide, height: high } : undefined;
};

/** More corners are no outline that the page drew. */
const MOST_CORNERS = 1e5;

const ringsIn = (kept: unknown): Rings | undefined => {
  if (!Array.isArray(kept) || kept.length === 0) return undefined;
  const isPlace = (place: unknown) => typeof place === 'number' && place >= 0 && place < 1e6;
  const isRing = (ring: unknown) =>
    Array.isArray(ring) && ring.length >= 6 && ring.length % 2 === 0 && ring.every(isPlace);
  const corners = kept.reduce((sum: number, ring) => sum + (Array.isArray(ring) ? ring.length / 2 : 0), 0);
  return corners <= MOST_CORNERS && kept.every(isRing) ? (kept as Rings) : undefined;
};
