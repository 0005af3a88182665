import type { Tally } from './tally.ts';

/** What the sums alone do not tell. */
interface Aside {
  /** Subs without a date. */
  readonly undated: number;
  /** Subs that were counted as a target by their path, by its name. */
  readonly placed: ReadonlyMap<string, number>;
  /** All spellings of each target. */
  readonly spelt: readonly (readonly string[])[];
}

/** So many files are named in a note; the lists hold all of them. */
const SHOWN = 3;

const files = (count: number, one: string, many = `${one}s`) => `${count} ${count === 1 ? one : many}`;

const few = (names: readonly string[]): string =>
  `${names.slice(0, SHOWN).join(', ')}${names.length > SHOWN ? ' …' : ''}`;

const grouped = <T>(items: readonly T[], keyOf: (item: T) => string): Map<string, T[]> => {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group) group.push(item);
    else groups.set(key, [item]);
  }
  return groups;
};

/** Reasons that differ in their figures alone are one. */
const kindOf = (reason: string): string => reason.replace(/\d+/g, '#');

/** A reason as it is, or what several have in common. */
const common = (reasons: readonly string[]): string =>
  reasons.every((reason) => reason === reasons[0]) ? reasons[0]! : reasons[0]!.replace(/(: | \().*/, '');

/** What should be known about the sums of a tally. */
export const tallyNotes = (
  { targets, unnamed, skipped }: Pick<Tally, 'targets' | 'unnamed' | 'skipped'>,
  { undated, placed, spelt }: Aside,
): string[] => [
  ...[...grouped(skipped, ({ reason }) => kindOf(reason)).values()].map(
    (some) =>
      `${files(some.length, 'file')} skipped (${few(some.map(({ file }) => file))}): ` +
      common(some.map(({ reason }) => reason)),
  ),
  ...[...grouped(unnamed, ({ filter }) => filter)].map(
    ([filter, some]) =>
      `${files(some.length, 'sub')} not counted (${few(some.map(({ file }) => file))}): ` +
      (filter === '' ? 'the header names no filter' : `the filter ${JSON.stringify(filter)} names no line`),
  ),
  ...spelt.flatMap((names) =>
    names.length > 1
      ? [`spelt in ${names.length} ways and counted as one target: ${[...names].sort().join(', ')}`]
      : [],
  ),
  ...[...placed].map(([target, count]) =>
    target === ''
      ? `${files(count, 'sub')}: neither header nor path names the target`
      : `${files(count, 'sub')} without a target in the header: counted as ${target} by file or folder name`,
  ),
  ...(targets.length === 0 && unnamed.length === 0 ? ['no sub-exposures found'] : []),
  ...(undated > 0 ? [`${files(undated, 'sub')} without date and time: counted in no night`] : []),
];
