import { atom } from 'nanostores';
import { keep, kept } from './kept.ts';

/** What stands around the picture on a wide page. */
export const PANELS = ['lines', 'bench', 'wall'] as const;
export type Panel = (typeof PANELS)[number];

const remembered = (): Panel[] => {
  const found = kept('panels');
  return Array.isArray(found) ? PANELS.filter((panel) => found.includes(panel)) : [];
};

/** Panels that are put away; the picture lies beneath all of them, and stays where it is. */
export const $away = atom<readonly Panel[]>(remembered());

/** Whether the wall fills the room of the picture. */
export const $wideWall = atom(false);

const putAway = (away: readonly Panel[]): void => {
  $away.set(away);
  keep('panels', away);
};

export const togglePanel = (panel: Panel): void => {
  const away = $away.get();
  putAway(PANELS.filter((other) => (other === panel ? !away.includes(panel) : away.includes(other))));
};

/** Puts all panels away, or brings all back where none is out. */
export const toggleAllPanels = (): void => putAway($away.get().length < PANELS.length ? PANELS : []);
