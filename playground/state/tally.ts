import { atom } from 'nanostores';
import type { Tally } from '../../lib/tally/tally.ts';

/** The tally that is shown; undefined where none is. */
export const $tally = atom<Tally | undefined>(undefined);
