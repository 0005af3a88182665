import { expect } from 'vitest';

/** Each number of `got` is within `tolerance` of its partner; null partners are not compared. */
export const expectClose = (got: ArrayLike<number>, wanted: ArrayLike<number | null>, tolerance: number): void => {
  expect(got.length).toBe(wanted.length);
  for (let i = 0; i < wanted.length; i++) {
    const partner = wanted[i];
    if (partner === null || partner === undefined) continue;
    if (!(Math.abs(got[i]! - partner) <= tolerance))
      expect.fail(`number ${i} is ${got[i]}, wanted ${partner} within ${tolerance}`);
  }
};
