import { folds } from '../../lib/finish/bends.ts';
import type { Bend, Finish } from '../../lib/finish/finish.ts';

/** A number of 0 … 1 at each call. */
export type Random = () => number;

const between = (random: Random, low: number, high: number): number => low + (high - low) * random();

const randomTone = (random: Random): NonNullable<Finish['tone']> => {
  const inner = Array.from({ length: 1 + Math.floor(4 * random()) }, () => random()).sort((a, b) => a - b);
  const levels = inner.map(() => random()).sort((a, b) => a - b);
  return inner
    .map((x, i) => [0.02 + 0.96 * x, levels[i]!] as const)
    .filter(([x], i, all) => i === 0 || x > all[i - 1]![0]);
};

const randomBend = (random: Random): Bend => {
  const width = between(random, 5, 180);
  const at = between(random, 0, 360);
  const to = (at + between(random, -0.64, 0.64) * width + 360) % 360;
  return { at, to, width, chroma: between(random, 0, 2) };
};

/** A finish over the whole range that recipes allow. */
export const randomFinish = (random: Random): Finish => {
  const from = between(random, 0, 0.8);
  const bends = Array.from({ length: Math.floor(4 * random()) }, () => randomBend(random));
  const { length } = bends;
  const kept = Array.from({ length }, (_, k) => bends.slice(0, length - k)).find((some) => !folds(some)) ?? [];
  return {
    ...(random() < 0.6 && { tone: randomTone(random) }),
    ...(random() < 0.8 && {
      chroma: {
        gain: between(random, 0, 2.2),
        from,
        to: from + between(random, 0.02, 0.5),
        until: between(random, 0.05, 0.5),
      },
    }),
    ...(kept.length > 0 && { bends: kept }),
  };
};
