import { atom } from 'nanostores';

/** Whether the plan of nights over all targets is shown. */
export const $seasonShown = atom(false);
