import { computed } from 'nanostores';
import { $alone } from './alone.ts';
import { standsAgainst, UNSMOOTHED } from './compare.ts';
import { $lines } from './masters.ts';
import { $picture } from './picture.ts';

/** The smoothing of the mix on screen in numbers; undefined where it is not smoothed. */
export const $smoothed = computed($picture, (picture) => picture?.settled.smooth);

/** Looks at what smoothing removed: from the first line, from the next, and after the last at the mix again. */
export const stepRemoved = (): void => {
  const lines = $smoothed.get()?.lines ?? [];
  const now = $alone.get();
  const next = lines[(now?.removed ? lines.indexOf(now.line) : -1) + 1];
  if (next !== undefined) $alone.set({ line: next, id: $lines.get()[next]!, removed: true });
  else if (now?.removed) $alone.set(undefined);
};

/** Whether the mix stands against itself before smoothing, up to an edge. */
export const $beforeAfter = standsAgainst(UNSMOOTHED);
