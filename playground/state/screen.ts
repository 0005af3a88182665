import { atom } from 'nanostores';
import type { ScreenPicture } from '../../lib/web/screen.ts';

const wide = matchMedia('(color-gamut: p3)');

/** Whether the screen shows colours outside sRGB; this changes when the window moves to another screen. */
export const $wideGamut = atom(wide.matches);
wide.addEventListener('change', () => $wideGamut.set(wide.matches));

/**
 * The colour space of a canvas that shows the picture on this screen. A canvas keeps the space of its first context for
 * ever, so templates take a new one when this changes: `keyed(space, html`<canvas></canvas>`)`.
 */
export const canvasSpace = (picture: Pick<ScreenPicture, 'space'> | undefined): ScreenPicture['space'] =>
  $wideGamut.get() ? (picture?.space ?? 'srgb') : 'srgb';
