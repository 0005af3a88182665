import { atom } from 'nanostores';

/** The address of the sheet that is to be printed in the place of the page. */
export const $printed = atom<string | undefined>(undefined);
