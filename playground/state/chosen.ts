import { atom } from 'nanostores';

/** So many mixes can stand against the one on screen. */
export const MOST_OTHERS = 3;

/** The candidates and earlier steps that were chosen to stand against the mix on screen, by id. */
export const $chosen = atom<readonly string[]>([]);

/** Takes a mix to those that were chosen, in the place of the last where there is no room, or takes it away. */
export const toggleChosen = (id: string): void => {
  const chosen = $chosen.get();
  if (chosen.includes(id)) $chosen.set(chosen.filter((other) => other !== id));
  else $chosen.set([...chosen.slice(0, MOST_OTHERS - 1), id]);
};
