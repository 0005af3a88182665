import type { HeaderFacts } from '../plane/facts.ts';

/** Exposure of one line so far. */
export interface Exposure {
  readonly name: string;
  /** Total hours; undefined where neither header nor user says. */
  readonly hours: number | undefined;
  /** Seconds of one sub so far, and their count. */
  readonly sub: number | undefined;
  readonly subs: number | undefined;
  readonly from: 'header' | 'given' | undefined;
}

/** Exposure from a header, or the hours that the user gives instead; the length of a sub stays the header's. */
export const exposureOf = (name: string, facts: HeaderFacts, given?: number): Exposure => {
  const hours = given ?? facts.hours;
  const sub = facts.exposure !== undefined && facts.exposure > 0 ? facts.exposure : undefined;
  const subs = given === undefined ? facts.subs : undefined;
  return {
    name,
    hours,
    sub,
    subs: subs ?? (sub !== undefined && hours !== undefined ? Math.round((hours * 3600) / sub) : undefined),
    from: given !== undefined ? 'given' : hours !== undefined ? 'header' : undefined,
  };
};
