import type { Measured } from '../../lib/plane/measured.ts';

/** More saturated pixels than this share are worth a word: a few are the cores of the brightest stars. */
const MANY_SATURATED = 0.001;

/** What the numbers of a master say against it. */
export const masterFaults = ({ saturated, counted, stretched }: Measured) => ({
  saturated: counted > 0 && saturated / counted > MANY_SATURATED ? saturated / counted : undefined,
  stretched,
});
