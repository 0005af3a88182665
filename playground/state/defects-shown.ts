import { atom } from 'nanostores';

/** Whether the defects that were found are marked over the picture. */
export const $defectsShown = atom(false);
