import { atom } from 'nanostores';

/** Whether the list of all keys is shown. */
export const $keysShown = atom(false);
