import { FIRST_SIZE } from './bins.ts';

/** Scales of a wish, the smallest first. */
export const scalesUpTo = (largest: number): number[] => {
  const scales: number[] = [];
  for (let scale = 2 * FIRST_SIZE; scale <= largest; scale *= 2) scales.push(scale);
  return scales;
};
