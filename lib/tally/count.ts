import type { HeaderFacts } from '../plane/facts.ts';
import type { Noon } from './night.ts';
import { tallyNotes } from './notes.ts';
import { countedAs, type Sub } from './sub.ts';
import { addSubs, addSums, type LineSums, linesOf, nightsOf, subsIn } from './sums.ts';
import type { Tally } from './tally.ts';
import { namesInPath, targetKey } from './target-name.ts';

/** Counts files one by one; what it holds grows with targets, lines and nights, and with what could not be counted. */
export interface TallyCounter {
  /**
   * @param file as it is shown
   * @param path the part of it, with `/` between folders and file, that may name its target
   */
  add(file: string, facts: HeaderFacts, path?: string): void;
  skip(file: string, reason: string): void;
  /** The sums so far, which do not depend on the order of the files. */
  result(): Tally;
}

/** A target while it is counted: how often each spelling was met, and its subs. */
interface Group {
  readonly spellings: Map<string, number>;
  readonly sums: LineSums;
}

const newGroup = (): Group => ({ spellings: new Map(), sums: new Map() });
const groupFor = (groups: Map<string, Group>, key: string): Group => {
  const group = groups.get(key) ?? newGroup();
  groups.set(key, group);
  return group;
};
const count = (counts: Map<string, number>, key: string, more = 1) => counts.set(key, (counts.get(key) ?? 0) + more);

/** Between the names that a path proposes: in no file's name. */
const SEPARATOR = '/';

/**
 * Counts sub-exposures by target, line and night.
 * @param names lines by the filter as headers write it, for filters whose name says no line
 */
export const tallyCounter = (names: Readonly<Record<string, string>> = {}): TallyCounter => {
  const named = new Map<string, Group>();
  /** Subs whose header names no target, by the names that their paths propose. */
  const nameless = new Map<string, Group>();
  const unnamed: { file: string; filter: string }[] = [];
  const skipped: { file: string; reason: string }[] = [];
  const left = { calibration: 0, masters: 0 };
  const noon: Record<Noon, number> = { localTime: 0, longitude: 0, utc: 0 };
  const addSub = (path: string, { target, line, seconds, night }: Sub) => {
    const group =
      target === undefined
        ? groupFor(nameless, namesInPath(path, line).join(SEPARATOR))
        : groupFor(named, targetKey(target));
    if (target !== undefined) count(group.spellings, target);
    if (night) noon[night.noon]++;
    addSubs(group.sums, line, night?.night ?? '', seconds);
  };
  return {
    add(file, facts, path = file) {
      const counted = countedAs(facts, path, names);
      if (counted.is === 'sub') addSub(path, counted);
      else if (counted.is === 'unnamed') unnamed.push({ file, filter: counted.filter });
      else if (counted.is === 'skipped') skipped.push({ file, reason: counted.reason });
      else left[counted.is === 'master' ? 'masters' : 'calibration']++;
    },
    skip: (file, reason) => skipped.push({ file, reason }),
    result() {
      const { groups, placed } = placeNameless(named, nameless);
      const targets = [...groups.values()]
        .map(({ spellings, sums }) => ({ target: mostUsed(spellings), sums }))
        .sort((a, b) => (a.target < b.target ? -1 : 1));
      const nights = targets.flatMap(({ target, sums }) => nightsOf(target, sums)).sort(inOrder);
      const sums = {
        targets: targets.map(({ target, sums: own }) => ({ target, lines: linesOf(own) })),
        unnamed: [...unnamed].sort(byFile),
        skipped: [...skipped].sort(byFile),
        left: { ...left },
        noon: { ...noon },
        nights: nights.filter(({ night }) => night !== ''),
      };
      const undated = nights.filter(({ night }) => night === '').reduce((sum, { subs }) => sum + subs, 0);
      const spelt = [...groups.values()].map(({ spellings }) => [...spellings.keys()]);
      return { ...sums, notes: tallyNotes(sums, { undated, placed, spelt }) };
    },
  };
};

/** Joins subs without a target's name to the target that their path names, and else makes them one of that name. */
const placeNameless = (named: ReadonlyMap<string, Group>, nameless: ReadonlyMap<string, Group>) => {
  const groups = new Map<string, Group>();
  for (const [key, { spellings, sums }] of named) {
    const group = groupFor(groups, key);
    for (const [name, times] of spellings) count(group.spellings, name, times);
    addSums(group.sums, sums);
  }
  const placed = new Map<string, number>();
  for (const [proposals, { sums }] of nameless) {
    const names = proposals.split(SEPARATOR);
    const known = names.find((name) => named.has(targetKey(name)));
    const name = known ?? names[0]!;
    const group = groupFor(groups, targetKey(name));
    if (known === undefined) count(group.spellings, name, subsIn(sums));
    addSums(group.sums, sums);
    count(placed, mostUsed(group.spellings), subsIn(sums));
  }
  return { groups, placed };
};

/** The spelling that was met most, the first by name among equals. */
const mostUsed = (spellings: ReadonlyMap<string, number>): string =>
  [...spellings].sort(([a, n], [b, m]) => m - n || (a < b ? -1 : 1))[0]![0];

const byFile = (a: { readonly file: string }, b: { readonly file: string }) => (a.file < b.file ? -1 : 1);

const inOrder = (a: Tally['nights'][number], b: Tally['nights'][number]): number => {
  const [one, other] = [a, b].map(({ night, target, line }) => [night, target, line].join('\n'));
  return one! < other! ? -1 : 1;
};
