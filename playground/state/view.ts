import { atom } from 'nanostores';
import type { Camera, Size, Stage } from '../model/camera.ts';

/** The surround that colours are judged against. */
export const SURROUNDS = ['light', 'dark', 'night'] as const;
export type Surround = (typeof SURROUNDS)[number];

/** The drawers of which a narrow page shows one at a time. */
export const DRAWERS = ['mix', 'lines', 'wall', 'hours', 'save'] as const;
export type Drawer = (typeof DRAWERS)[number];

const KEPT = 'linewash.surround';

const first = (): Surround => {
  const kept = (() => {
    try {
      return localStorage.getItem(KEPT);
    } catch {
      return null; // pages without storage, such as private ones
    }
  })();
  if (SURROUNDS.includes(kept as Surround)) return kept as Surround;
  return matchMedia('(prefers-color-scheme: light)').matches ? 'light' : 'dark';
};

export const $surround = atom<Surround>(first());
export const $drawer = atom<Drawer>('mix');
/** Undefined: the whole picture, whatever size the view has. */
export const $camera = atom<Camera | undefined>(undefined);

/** How the picture lies in its view. */
export interface Frame {
  readonly view: Size;
  readonly camera: Camera;
  readonly full: Size;
  /** The part of the view that no panel lies over; where mixes stand in cells, the cell of the one on screen. */
  readonly open: Stage;
  /** The cells of all mixes, that of the one on screen first; one where it stands alone. */
  readonly cells: readonly Stage[];
}

/** How many mixes stand side by side in the view. */
export const $cellCount = atom(1);

/** The frame that was drawn last, for what lies over the picture; undefined while there is no picture. */
export const $frame = atom<Frame | undefined>(undefined);

$surround.subscribe((surround) => {
  document.documentElement.dataset.surround = surround;
});

export const chooseSurround = (surround: Surround): void => {
  $surround.set(surround);
  try {
    localStorage.setItem(KEPT, surround);
  } catch {
    // The choice then holds for this visit.
  }
};
