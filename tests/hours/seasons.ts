import type { TargetState } from '../../lib/hours/plan/season.ts';
import { type Random, random } from '../../samples/scene/random.ts';
import type { Season } from './judge.ts';

const between = (rng: Random, low: number, high: number): number => low + (high - low) * rng.uniform();
const pick = <T>(rng: Random, items: readonly T[]): T => items[rng.next() % items.length]!;

/** Lines of each target, and nights: no more than can be tried one by one. */
const SIZES: readonly (readonly [lines: readonly number[], nights: number])[] = [
  [[2], 4],
  [[3], 3],
  [[3], 4],
  [[4], 3],
  [[2, 2], 3],
  [[1, 2], 3],
  [[1, 1, 1], 4],
  [[3, 1], 3],
];

/** A season with filter changes, windows by night and by hour, limits of lines, and lines of any strength. */
export const drawSeason = (seed: number, subs: boolean): Season => {
  const rng = random(seed, 91);
  const [sizes, count] = pick(rng, SIZES);
  const nights = Array.from({ length: count }, (_, i) => ({ date: `2026-01-1${i}`, dark: between(rng, 2, 9) }));
  const targets = sizes.map((lines, t): TargetState => {
    const closed = rng.uniform() < 0.4 ? pick(rng, nights).date : '';
    return {
      name: `T${t}`,
      lines: Array.from({ length: lines }, (_, i) => ({
        name: `L${i}`,
        spent: between(rng, 0.4, 9),
        strength: 10 ** between(rng, -0.6, 0.6),
        ...(rng.uniform() < 0.25 && { room: between(rng, 0.3, 6) }),
        ...(subs && { sub: 60, overhead: between(rng, 0, 15) }),
      })),
      weight: pick(rng, [1, 1, 2, 0.5]),
      ...(rng.uniform() < 0.4 && { up: between(rng, 1, 5) }),
      open: (date) => date !== closed,
    };
  });
  return { targets, nights, change: pick(rng, [0, 0.08, 0.25, 0.5, 0.8]) };
};
