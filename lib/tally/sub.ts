import { lineIn } from '../measure/filters.ts';
import type { HeaderFacts } from '../plane/facts.ts';
import { frameKind } from './frame.ts';
import { type Night, nightOf } from './night.ts';
import { fileName } from './path.ts';
import { targetOf } from './target-name.ts';

/** A sub-exposure as the tally counts it. */
export interface Sub {
  readonly is: 'sub';
  /** As the header names it; undefined where it names none. */
  readonly target: string | undefined;
  readonly line: string;
  /** Length in seconds, to a thousandth. */
  readonly seconds: number;
  readonly night: Night | undefined;
}

/** What a file counts as. */
export type Counted =
  | Sub
  | { readonly is: 'calibration' | 'master' }
  | { readonly is: 'unnamed'; readonly filter: string }
  | { readonly is: 'skipped'; readonly reason: string };

/** Numbers alone in the names of subs count files: they are no wavelengths. */
const COUNTER = /(?<![\p{L}\p{N}])\d+(?![\p{L}\p{N}])/gu;

/** A place in a wheel: a number, alone or after a word that says so. */
const PLACE = /^((filter|slot|pos(ition)?|wheel|no\.?)\s*[-_:#]?)?\s*#?\d{1,2}$/i;

/**
 * The line of a sub: by the names that the user gives for its filter, else by what the filter is called, else, where it
 * has no name but a place in a wheel, by the file's name. Undefined for filters of no known line.
 */
const lineBy = (filter: string, path: string, names: Readonly<Record<string, string>>): string | undefined => {
  const given = Object.hasOwn(names, filter) ? names[filter] : undefined;
  const said = filter === '' || PLACE.test(filter) ? fileName(path).replace(COUNTER, ' ') : filter;
  return given ?? lineIn(said);
};

/**
 * What a file is by what its header says.
 * @param path with `/` between folders and file
 * @param names lines by the filter as headers write it, for filters whose name says no line
 */
export const countedAs = (facts: HeaderFacts, path: string, names: Readonly<Record<string, string>> = {}): Counted => {
  const kind = frameKind(facts);
  if (kind === 'calibration' || kind === 'master') return { is: kind };
  if (kind === 'other') return { is: 'skipped', reason: `the header calls it ${facts.kind}` };
  const seconds = Math.round((facts.exposure ?? 0) * 1000) / 1000;
  if (!(seconds > 0)) return { is: 'skipped', reason: 'the header states no exposure time' };
  const filter = facts.filter ?? '';
  const line = lineBy(filter, path, names);
  if (line === undefined) return { is: 'unnamed', filter };
  return { is: 'sub', target: targetOf(facts.object), line, seconds, night: nightOf(facts) };
};
