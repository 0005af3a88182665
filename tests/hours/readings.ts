import type { Exposure } from '../../lib/hours/exposure.ts';
import type { LineStats } from '../../lib/hours/ledger.ts';

/** Readings of SETTLED's lines at the background and in a box of 100 pixels on a faint feature. */
export const STATS: readonly LineStats[] = [
  { name: 'S', background: { value: 1040, noise: 4 }, box: { value: 1046, noise: 4.2, pixels: 100, area: 1 } },
  { name: 'H', background: { value: 1550, noise: 6 }, box: { value: 1560, noise: 6.1, pixels: 100, area: 1 } },
  { name: 'O', background: { value: 1250, noise: 5 }, box: { value: 1262, noise: 5.3, pixels: 100, area: 1 } },
];

export const WITHOUT_BOX: readonly LineStats[] = STATS.map(({ name, background }) => ({ name, background }));

export const EXPOSURES: readonly Exposure[] = [
  { name: 'S', hours: 6, sub: 400, subs: 54, from: 'header' },
  { name: 'H', hours: 4, sub: 400, subs: 36, from: 'header' },
  { name: 'O', hours: 5, sub: 400, subs: 45, from: 'header' },
];
