import { atom, computed } from 'nanostores';
import type { Preview } from '../../lib/web/service.ts';
import { missingLines, usedLines } from '../model/columns.ts';
import { swatches } from '../model/swatches.ts';
import { text } from '../text.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';
import { report, say, unsay } from './messages.ts';
import { $recipe } from './recipe.ts';

/** Longest side of the picture on screen, and of the draft that comes first while something is dragged. */
export const FINE = 1600;
const DRAFT = 480;
/** A picture that took longer than this gets a draft before it the next time. */
const SLOW_MS = 60;

/** The mix as it is on screen. */
export const $picture = atom<Preview | undefined>(undefined);

/** The colour each used line gets alone. */
export const $swatches = computed($picture, (picture) => (picture === undefined ? {} : swatches(picture.settled)));

/** True from a change until its fine picture is there. */
export const $busy = atom(false);

let asked = false;
let lastTook = 0;
let fine: AbortController | undefined;

/** Renders the latest state; changes that come meanwhile stop the fine picture and are rendered next. */
export const refresh = async (): Promise<void> => {
  asked = true;
  fine?.abort();
  if ($busy.get()) return;
  $busy.set(true);
  while (asked) {
    asked = false;
    await renderOnce();
  }
  $busy.set(false);
};

const renderOnce = async (): Promise<void> => {
  const lines = $lines.get();
  const recipe = $recipe.get();
  const missing = missingLines(recipe, Object.keys(lines));
  const used = usedLines(recipe);
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
  try {
    if (lastTook > SLOW_MS) $picture.set(await engine().call('preview', { lines, recipe, longest: DRAFT }));
    if (asked) return;
    fine = new AbortController();
    const began = performance.now();
    const picture = await engine().call('preview', { lines, recipe, longest: FINE }, { signal: fine.signal });
    lastTook = performance.now() - began;
    $picture.set(picture);
    unsay('mix');
  } catch (error) {
    report('mix', error);
  }
};

$recipe.listen(() => void refresh());
$lines.listen((lines, before) => {
  if (JSON.stringify(lines) === JSON.stringify(before)) return;
  // A picture of other masters must not stand for these.
  const kept = Object.values(before ?? {});
  if (!Object.values(lines).some((id) => kept.includes(id))) $picture.set(undefined);
  void refresh();
});
