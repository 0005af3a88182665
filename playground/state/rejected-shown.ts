import { atom } from 'nanostores';

/** The line whose rejected pixels are marked over the picture. */
export const $rejectedShown = atom<string | undefined>(undefined);
