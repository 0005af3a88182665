import { atom, computed } from 'nanostores';
import { aloneRecipe } from '../model/columns.ts';
import type { Layer } from '../model/draw-picture.ts';
import { smoothsLine } from '../model/smooth-choices.ts';
import { $detail } from './detail.ts';
import { type OtherMix, otherLayers } from './layers.ts';
import { $lines, $masters } from './masters.ts';
import { $recipe } from './recipe.ts';
import { $stars } from './stars.ts';

/** A line that is looked at alone, in grey with its own curve; one of its masters, where it has several; or its noise. */
export interface Alone {
  readonly line: string;
  /** The id of the master, or of all together. */
  readonly id: string;
  /** The file, where it is one of several. */
  readonly file?: string | undefined;
  /** Whether what smoothing takes from the line in the mix is looked at, and not the line. */
  readonly removed?: boolean | undefined;
  /** Whether the mask of the stars is looked at, which is one for all lines. */
  readonly mask?: boolean | undefined;
}

export const $alone = atom<Alone | undefined>(undefined);

/** All that can be looked at alone: each line, and after a combined one each of its masters. */
export const $singles = computed([$lines, $masters], (lines, masters): Alone[] =>
  Object.entries(lines).flatMap(([line, id]): Alone[] => {
    const parts = id.split('+');
    const single = (part: string) => ({ line, id: part, file: masters.find((master) => master.id === part)?.file });
    return [{ line, id }, ...(parts.length > 1 ? parts.map(single) : [])];
  }),
);

/** The next of them, or the one before; the first or the last where the mix is on screen. */
export const stepAlone = (by: 1 | -1): void => {
  const all = $singles.get();
  if (all.length === 0) return;
  const now = $alone.get();
  const at = all.findIndex(({ line, id }) => line === now?.line && id === now.id);
  const next = at < 0 ? (by > 0 ? 0 : all.length - 1) : (at + by + all.length) % all.length;
  $alone.set(all[next]);
};

const layers = otherLayers('alone');

/** The picture of it, under the camera of the mix. */
export const $aloneLayers = computed([$alone, layers.$layers], (alone, found): readonly Layer[] =>
  alone === undefined ? [] : found,
);

const mix = (): OtherMix | undefined => {
  const alone = $alone.get();
  if (alone?.mask) return { lines: $lines.get(), recipe: $recipe.get(), mask: true };
  if (alone?.removed) return { lines: $lines.get(), recipe: $recipe.get(), removed: alone.line };
  return alone && { lines: { [alone.line]: alone.id }, recipe: aloneRecipe($recipe.get(), alone.line) };
};

let last = '';
const follow = (): void => {
  const alone = $alone.get();
  if (alone?.removed && !smoothsLine($recipe.get(), alone.line)) {
    $alone.set(undefined);
    return;
  }
  const next = mix();
  const key = JSON.stringify([next, $stars.get() !== undefined]);
  if (key === last) return;
  last = key;
  void layers.show(next);
};

for (const store of [$alone, $recipe, $stars, $lines]) store.listen(follow);
$detail.listen(() => void layers.sharpen());
// Masters that are gone are looked at no longer.
$singles.listen((all) => {
  const now = $alone.get();
  if (now && !all.some(({ line, id }) => line === now.line && id === now.id)) $alone.set(undefined);
});
