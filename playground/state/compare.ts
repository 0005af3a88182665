import { atom, computed, onMount } from 'nanostores';
import type { Preview } from '../../lib/web/preview.ts';
import { missingLines, sameMix } from '../model/columns.ts';
import type { Layer } from '../model/draw-picture.ts';
import { latest } from '../model/latest.ts';
import { $candidates, type Candidate } from './candidates.ts';
import { $detail } from './detail.ts';
import { $lines } from './masters.ts';
import { report } from './messages.ts';
import { mixPart } from './mixing.ts';
import { FINE } from './picture.ts';
import { $recipe } from './recipe.ts';
import { $stars } from './stars.ts';

/** The candidate that was chosen to stand against the mix on screen. */
export const $chosen = atom<string | undefined>(undefined);

/** Candidates that the open masters can be mixed to. */
export const $comparable = computed([$candidates, $lines], (candidates, lines) =>
  candidates.filter(({ recipe }) => missingLines(recipe, Object.keys(lines)).length === 0),
);

/** What stands against the mix: the chosen candidate, or the first that is another mix. */
export const $against = computed(
  [$chosen, $comparable, $recipe],
  (chosen, comparable, recipe): Candidate | undefined => {
    const found = comparable.find(({ id }) => id === chosen);
    return found ?? comparable.find((candidate) => !sameMix(candidate.recipe, recipe)) ?? comparable[0];
  },
);

/** Where the edge between the two is, as a share of the view's width. */
export const $split = atom(0.5);

/** True while the other is shown whole. */
export const $flick = atom(false);

/** The other mix as layers for the same camera; nothing until it is mixed. */
export const $other = atom<readonly Layer[]>([]);

const mixing = latest();
const sharpening = latest();
let whole: Preview | undefined;

const mix = async (): Promise<void> => {
  const control = mixing.begin();
  sharpening.stop();
  $other.set([]);
  whole = undefined;
  const other = $against.get();
  if (other === undefined) return;
  try {
    const wish = { lines: $lines.get(), recipe: other.recipe, longest: FINE };
    const picture = await mixPart(wish, { signal: control.signal });
    if (control.signal.aborted) return;
    whole = picture;
    $other.set([wholeLayer(picture)]);
    void sharpen();
  } catch (error) {
    if (!control.signal.aborted) report('compare', error);
  }
};

const wholeLayer = (picture: Preview): Layer => ({ picture, box: { x: 0, y: 0, ...picture.full } });

/** Full-size pixels wherever the mix on screen has them. */
const sharpen = async (): Promise<void> => {
  const control = sharpening.begin();
  const [other, detail, base] = [$against.get(), $detail.get(), whole];
  if (other === undefined || base === undefined) return;
  if (detail === undefined) return void $other.set([wholeLayer(base)]);
  const { box } = detail;
  try {
    const wish = { lines: $lines.get(), recipe: other.recipe, box };
    const picture = await mixPart(wish, { signal: control.signal });
    if (!control.signal.aborted && whole === base) $other.set([wholeLayer(base), { picture, box }]);
  } catch (error) {
    if (!control.signal.aborted) report('compare', error);
  }
};

onMount($other, () => {
  const key = () => JSON.stringify([$against.get()?.recipe, $lines.get()]);
  let last = key();
  const mixAnew = () => {
    if (key() === last) return;
    last = key();
    void mix();
  };
  const stops = [
    $against.listen(mixAnew),
    $lines.listen(mixAnew),
    $stars.listen(() => void mix()),
    $detail.listen(() => void sharpen()),
  ];
  void mix();
  return () => {
    for (const stop of stops) stop();
    mixing.stop();
    sharpening.stop();
    $flick.set(false);
  };
});
