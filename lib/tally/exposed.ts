import { lineIn } from '../measure/filters.ts';
import type { TallyLine, TallyTarget } from './tally.ts';
import { targetKey, targetOf } from './target-name.ts';

/** Sums that hours may be taken from where headers state none. */
export interface TalliedHours {
  readonly targets: readonly TallyTarget[];
  /** The target that is meant, however it is spelt; by default that of the headers, else the only one. */
  readonly target?: string | undefined;
}

/** What a tally says about one line. */
export interface TalliedLine {
  readonly hours: number;
  readonly subs: number;
  /** Seconds of most of the exposure's subs. */
  readonly sub: number;
}

/** The lines of the target that is meant, or why there are none, in words. */
export type TalliedTarget =
  | { readonly target: string; line(name: string): TalliedLine | undefined }
  | { readonly fault: string };

const MANY = 6;

/** Finds the target that is meant in a tally; `objects` are what the headers of the masters call it. */
export const talliedTarget = (
  { targets, target }: TalliedHours,
  objects: readonly (string | undefined)[],
): TalliedTarget => {
  const name = target ?? objects.map(targetOf).find((object) => object !== undefined);
  const found = name === undefined ? only(targets) : targets.find((one) => targetKey(one.target) === targetKey(name));
  if (found) return { target: found.target, line: (line) => lineOf(found, line) };
  const all = targets.map((one) => one.target);
  const list = `${all.slice(0, MANY).join(', ')}${all.length > MANY ? ' …' : ''}`;
  if (name === undefined) return { fault: `the masters do not name their target; the tally has ${list || 'none'}` };
  return { fault: `the tally has no target ${name}; it has ${list || 'none'}` };
};

const only = (targets: readonly TallyTarget[]): TallyTarget | undefined =>
  targets.length === 1 ? targets[0] : undefined;

/** A line by its name, or by another spelling of it. */
const lineOf = ({ lines }: TallyTarget, name: string): TalliedLine | undefined => {
  const known = lineIn(name);
  const line =
    lines.find((one) => one.line === name) ??
    (known === undefined ? undefined : lines.find((one) => lineIn(one.line) === known));
  return line && { hours: line.hours, subs: line.subs, sub: mainLength(line) };
};

const mainLength = ({ lengths }: TallyLine): number =>
  Object.entries(lengths)
    .map(([seconds, count]) => [Number(seconds), Number(seconds) * count] as const)
    .reduce((most, one) => (one[1] > most[1] ? one : most))[0];
