import { atom } from 'nanostores';
import type { Box } from '../../lib/plane/box.ts';
import type { Preview } from '../../lib/web/preview.ts';
import { sameMix } from '../model/columns.ts';
import { latest } from '../model/latest.ts';
import { $lines } from './masters.ts';
import { report } from './messages.ts';
import { mixPart } from './mixing.ts';
import { $picture } from './picture.ts';
import { $recipe } from './recipe.ts';

/** The visible part from the full-size masters, where the picture on screen is smaller than they are. */
export const $detail = atom<{ readonly box: Box; readonly picture: Preview } | undefined>(undefined);

/** Boxes with more pixels than this are shown from the smaller picture. */
const MOST_PIXELS = 6_000_000;
const SETTLE_MS = 120;

/** The recipe that the part on screen was mixed by. */
let mixedBy = $recipe.get();
let timer: ReturnType<typeof setTimeout> | undefined;
const running = latest();

/** Asks for a box once the view rests; undefined where the picture on screen is enough. */
export const wantDetail = (box: Box | undefined): void => {
  clearTimeout(timer);
  running.stop();
  if (box === undefined || box.width * box.height > MOST_PIXELS) {
    if ($detail.get() !== undefined) $detail.set(undefined);
    return;
  }
  timer = setTimeout(() => void fetchDetail(box), SETTLE_MS);
};

const fetchDetail = async (box: Box): Promise<void> => {
  const control = running.begin();
  try {
    const wish = { lines: $lines.get(), recipe: $recipe.get(), box };
    const picture = await mixPart(wish, { signal: control.signal });
    if (control.signal.aborted || !sameMix(wish.recipe, $recipe.get())) return;
    mixedBy = wish.recipe;
    $detail.set({ box, picture });
  } catch (error) {
    if (!control.signal.aborted) report('detail', error);
  }
};

// A part of other masters must not lie over these.
$lines.listen((lines, before) => {
  if (JSON.stringify(lines) !== JSON.stringify(before)) wantDetail(undefined);
});
// Nor a part of another mix over the picture of this one.
$picture.listen(() => {
  if ($detail.get() !== undefined && !sameMix(mixedBy, $recipe.get())) $detail.set(undefined);
});
