import type { HeaderFacts } from '../plane/facts.ts';
import type { TalliedLine } from '../tally/exposed.ts';

/** Exposure of one line so far. */
export interface Exposure {
  readonly name: string;
  /** Total hours; undefined where neither header nor tally nor user says. */
  readonly hours: number | undefined;
  /** Seconds of one sub so far, and their count. */
  readonly sub: number | undefined;
  readonly subs: number | undefined;
  readonly from: 'header' | 'tally' | 'given' | undefined;
}

/**
 * Exposure from a header, or the hours that the user gives instead; the length of a sub stays the header's. What a header
 * does not state is that of the tally.
 */
export const exposureOf = (name: string, facts: HeaderFacts, given?: number, tallied?: TalliedLine): Exposure => {
  const fromTally = given === undefined && facts.hours === undefined && tallied !== undefined;
  const hours = given ?? facts.hours ?? tallied?.hours;
  const sub = facts.exposure !== undefined && facts.exposure > 0 ? facts.exposure : tallied?.sub;
  const subs = fromTally ? tallied.subs : given === undefined ? facts.subs : undefined;
  return {
    name,
    hours,
    sub,
    subs: subs ?? (sub !== undefined && hours !== undefined ? Math.round((hours * 3600) / sub) : undefined),
    from: given !== undefined ? 'given' : fromTally ? 'tally' : hours !== undefined ? 'header' : undefined,
  };
};
