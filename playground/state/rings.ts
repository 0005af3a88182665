import { atom } from 'nanostores';

/** Whether rings mark the stars of the masters over the picture. */
export const $ringsShown = atom(false);
