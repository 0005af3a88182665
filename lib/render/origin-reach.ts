import type { Origin } from '../plane/origin.ts';
import { FILL_REACH } from '../prepare/fill.ts';
import { reachOfScales, type Smoothing } from '../smooth/noise-model.ts';

/** Rows above and below that a row of this origin depends on. */
export const reachOf = (origin: Origin | undefined): number => {
  if (origin === undefined || origin.step === 'file') return 0;
  const own =
    origin.step === 'smooth'
      ? reachOfScales((origin.group.smoothing as Smoothing).scales)
      : origin.step === 'stars'
        ? origin.group.reach
        : origin.step === 'fill'
          ? FILL_REACH
          : 0;
  return own + Math.max(...before(origin).map(reachOf));
};

/** Whether stars are taken out on the way: that takes more memory for each row than any other step. */
export const takesStarsOut = (origin: Origin | undefined): boolean => {
  if (origin === undefined || origin.step === 'file') return false;
  if (origin.step === 'stars') return true;
  return before(origin).some(takesStarsOut);
};

/** The origins that a step begins with. */
const before = (origin: Exclude<Origin, { readonly step: 'file' }>): readonly Origin[] => {
  if (origin.step === 'combine') return origin.parts.map(({ of }) => of);
  if (origin.step === 'smooth' || origin.step === 'stars') return origin.group.members;
  if (origin.step === 'continuum') return [origin.of, origin.broad];
  return origin.step === 'restore' ? [origin.of, origin.line, origin.starless] : [origin.of];
};
