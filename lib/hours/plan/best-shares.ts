import { type NightShares, type Season, shareNight, varianceOf } from './season.ts';

/** A better sum by less than this share is not worth another round. */
const ENOUGH = 1e-5;
const MOST_ROUNDS = 12;
/** Three orders of nights times three counts of a change. */
const WAYS = 9;
/** Filter changes count so many times as much at first: nights then keep to few lines, and let others in one by one. */
const FIRST_CHANGES = [1, 3, 10];
/** Work that all ways together may cost, in nights × lines²: a plan of hundreds of nights takes no minutes. */
const MOST_WORK = 10_000;

/** A plan in the making: the share of each night, and what all of them add to each line. */
interface Draft {
  readonly shares: (NightShares | undefined)[];
  readonly added: number[];
}

const newDraft = ({ nights, lines }: Season): Draft => ({
  shares: nights.map(() => undefined),
  added: lines.map(() => 0),
});

/** Shares a night anew, given what the others get. */
const reshare = (season: Season, { shares, added }: Draft, night: number, change: number): void => {
  const before = shares[night]?.hours;
  const others = added.map((hours, i) => Math.max(0, hours - (before?.[i] ?? 0)));
  const share = shareNight(season, night, others, change);
  shares[night] = share;
  for (const [i, hours] of others.entries()) added[i] = hours + share.hours[i]!;
};

/** Nights one after the other, then again while that lowers the sum. */
const rounds = (season: Season, order: readonly number[], first: number, change: number): readonly NightShares[] => {
  const draft = newDraft(season);
  for (const night of order) reshare(season, draft, night, change * first);
  for (let more = first; more > 1; more /= 2) for (const night of order) reshare(season, draft, night, change * more);
  let least = Number.POSITIVE_INFINITY;
  let best = [...draft.shares] as NightShares[];
  for (let round = 0; round < MOST_ROUNDS; round++) {
    if (first > 1 || round > 0) for (const night of order) reshare(season, draft, night, change);
    const shares = [...draft.shares] as NightShares[];
    const sum = varianceOf(season, shares);
    const worth = sum < least * (1 - ENOUGH);
    if (sum < least) [least, best] = [sum, shares];
    if (!worth) break;
  }
  return best;
};

/** Every night shared once, in order. */
const once = (season: Season, order: readonly number[], change: number): readonly NightShares[] => {
  const draft = newDraft(season);
  for (const night of order) reshare(season, draft, night, change);
  return draft.shares as NightShares[];
};

/** Nights from the one with the fewest choices to the one with the most. */
const byChoice = ({ nights, targets }: Season): number[] => {
  const choices = nights.map(({ date, dark }) =>
    targets.reduce((sum, { open, up = dark, lines }) => sum + (open(date) ? lines.length * Math.min(up, dark) : 0), 0),
  );
  return [...nights.keys()].sort((a, b) => choices[a]! - choices[b]!);
};

/**
 * The shares of all nights whose sum is least of what several ways find: each shares one night after the other, and then
 * each anew, given the others, as long as that helps. For a given choice of lines the sum is convex, and rounds end at its
 * least; which lines a night is for is a matter of trying, so the ways differ in the order of the nights and in what
 * a filter change counts at first.
 */
export const bestShares = (season: Season, change: number): readonly NightShares[] => {
  const { nights, lines } = season;
  const forward = [...nights.keys()];
  const affordable = Math.floor((WAYS * MOST_WORK) / (nights.length * lines.length ** 2));
  if (affordable < 1) return once(season, forward, change);
  const ways = [forward, forward.toReversed(), byChoice(season)].flatMap((order) =>
    (change > 0 ? FIRST_CHANGES : [1]).map((first) => () => rounds(season, order, first, change)),
  );
  return ways
    .slice(0, affordable)
    .map((way) => way())
    .reduce((best, way) => (varianceOf(season, way) < varianceOf(season, best) ? way : best));
};
