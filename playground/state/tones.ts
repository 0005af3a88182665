import { computed } from 'nanostores';
import { type Tones, tonesOf } from '../model/tones.ts';
import { $detail } from './detail.ts';
import { $picture } from './picture.ts';

/** The tones of the picture on screen, or of the part in view where that is shown from the full-size masters. */
export const $tones = computed(
  [$picture, $detail],
  (picture, detail): (Tones & { readonly part: boolean }) | undefined => {
    const shown = detail?.picture ?? picture;
    return shown && { ...tonesOf(shown), part: detail !== undefined };
  },
);
