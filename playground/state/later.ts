import { atom } from 'nanostores';
import type { NoiseShares } from '../../lib/hours/noise-shares.ts';
import { $lines } from './masters.ts';

/** The hours to come that the picture can be shown after, and what they leave of the noise of each line. */
export interface Later {
  readonly hours: number;
  readonly shares: NoiseShares;
}

/** Set while hours are planned for the mix on screen; other masters have none yet. */
export const $later = atom<Later | undefined>(undefined);

$lines.listen(() => $later.set(undefined));
