import { atom, computed } from 'nanostores';
import { shrunkSize } from '../../lib/plane/shrink.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { changesOwnStars } from '../../lib/recipe/written/star-wish.ts';
import type { Preview } from '../../lib/web/preview.ts';
import { missingLines, neededLines, usedLines } from '../model/columns.ts';
import { swatches } from '../model/swatches.ts';
import { text } from '../text.ts';
import { $lines } from './masters.ts';
import { report, say, unsay } from './messages.ts';
import { mixPart } from './mixing.ts';
import { $recipe } from './recipe.ts';
import { $stars, $starsShown } from './stars.ts';
import { $camera } from './view.ts';

/** Longest side of the picture on screen, and of the draft that comes first while something is dragged. */
export const FINE = 1600;
const DRAFT = 480;
/** A picture that takes longer than this gets a draft before it. */
const SLOW_MS = 60;

/** The mix as it is on screen. */
export const $picture = atom<Preview | undefined>(undefined);

/** The colour each used line gets alone. */
export const $swatches = computed($picture, (picture) => (picture === undefined ? {} : swatches(picture.settled)));

/** True from a change until its fine picture is there. */
export const $busy = atom(false);

let asked = false;
/** What mixing a pixel took the last time. */
let pixelTook = 0;
let fine: AbortController | undefined;
/** The mix that is being made, first as a draft or not. */
let making: { readonly recipe: WrittenRecipe; readonly draft: AbortController } | undefined;

/** Finding stars takes long, and is stopped when they are not asked for any more. */
const stopFindingInVain = (): void => {
  if (!changesOwnStars(making?.recipe.stars) || changesOwnStars($recipe.get().stars)) return;
  making?.draft.abort();
  fine?.abort();
};

/** Whether a fine picture takes longer than changes should wait. */
const isSlow = (): boolean => {
  const full = $picture.get()?.full;
  if (full === undefined) return false;
  const { width, height } = shrunkSize(full.width, full.height, FINE);
  return pixelTook * width * height > SLOW_MS;
};

/**
 * Renders the latest state. Changes that come meanwhile are rendered next: they stop a slow picture, while a fast one is
 * shown on the way, for changes that come faster than pictures would otherwise leave none.
 */
export const refresh = async (): Promise<void> => {
  asked = true;
  if (isSlow()) fine?.abort();
  stopFindingInVain();
  if ($busy.get()) return;
  $busy.set(true);
  while (asked) {
    asked = false;
    await renderOnce();
  }
  $busy.set(false);
};

/** Size of the masters that were shown last. */
let shownSize = '';

const show = (picture: Preview): void => {
  const size = `${picture.full.width} × ${picture.full.height}`;
  // A view of masters of another size says nothing about these.
  if (shownSize !== '' && size !== shownSize) $camera.set(undefined);
  shownSize = size;

  pixelTook = (picture.took ?? 0) / (picture.width * picture.height);
  $picture.set(picture);
};

const renderOnce = async (): Promise<void> => {
  const lines = $lines.get();
  const recipe = $recipe.get();
  const missing = missingLines(recipe, Object.keys(lines));
  const used = usedLines(recipe);
  if (used.length === 0 || missing.length > 0) $picture.set(undefined);
  if (used.length === 0) return say({ topic: 'mix', kind: 'note', words: text.messages.noWeights });
  if (missing.length > 0) {
    if (Object.keys(lines).length === 0) return;
    return say({
      topic: 'mix',
      kind: 'fault',
      words: text.messages.missing(missing),
      advice: text.messages.missingAdvice,
    });
  }
  // What is mixed meanwhile from masters that have changed is not shown.
  const showOf = (picture: Preview) => void ($lines.get() === lines && show(picture));
  const draft = new AbortController();
  making = { recipe, draft };
  try {
    if (isSlow()) {
      showOf(await mixPart({ lines, recipe, longest: DRAFT }, { signal: draft.signal }));
      if (asked) return;
    }
    fine = new AbortController();
    showOf(await mixPart({ lines, recipe, longest: FINE }, { signal: fine.signal }));
    unsay('mix');
  } catch (error) {
    report('mix', error);
    // What was mixed before is not what is asked for now; it may stay while another answer is on its way.
    if (!asked) $picture.set(undefined);
  }
};

for (const store of [$recipe, $stars, $starsShown]) store.listen(() => void refresh());
$lines.listen((lines, before) => {
  if (JSON.stringify(lines) === JSON.stringify(before)) return;
  // A picture of other masters must not stand for these.
  const plain = $picture.get()?.plain;
  const of = plain === undefined ? [] : neededLines(plain);
  if (of.some((line) => lines[line] !== before?.[line])) $picture.set(undefined);
  // Nor need anybody wait until these have been measured.
  fine?.abort();
  void refresh();
});
