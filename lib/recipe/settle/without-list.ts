import type { Settled } from './settled.ts';

/** Settled numbers as they are kept and shown: the list of stars can be as large as the picture, and is found again. */
export const withoutStarList = (settled: Settled): Settled => {
  if (settled.ownStars === undefined) return settled;
  const { list: _, ...ownStars } = settled.ownStars;
  return { ...settled, ownStars };
};
