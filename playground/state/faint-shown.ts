import { atom } from 'nanostores';

/** The line whose faint things are outlined over the picture. */
export const $faintShown = atom<string | undefined>(undefined);
