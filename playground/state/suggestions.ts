import { atom } from 'nanostores';
import type { Suggestions } from '../../lib/recipe/suggest/suggest.ts';
import { latest } from '../model/latest.ts';
import { $hung, pin } from './candidates.ts';
import { engine } from './engine.ts';
import { $lines, $masters, $onSamples } from './masters.ts';
import { report, unsay } from './messages.ts';
import { $recipe } from './recipe.ts';

/** Mixes computed from the masters that are open. */
export const $suggestions = atom<Suggestions | undefined>(undefined);

/** While the masters are looked at: how to stop it. */
export const $suggesting = atom<{ cancel(): void } | undefined>(undefined);

/** Names of the masters that suggestions were computed from, with their lines. */
export const $computedFrom = atom<string | undefined>(undefined);

const filesNow = (): string =>
  JSON.stringify(
    $masters
      .get()
      .filter(({ line }) => line !== '')
      .map(({ line, file }) => [line, file]),
  );

const looking = latest();
export const wallId = (id: string): string => `suggested-${id}`;

/** Takes the suggestions down from the wall. */
export const clearSuggestions = (): void => {
  looking.stop();
  $suggestions.set(undefined);
  $computedFrom.set(undefined);
  for (const { id } of $hung.get()) if (id.startsWith(wallId(''))) pin(id, false);
};

/** Computes mixes from the masters and hangs them on the wall. */
export const suggest = async (): Promise<void> => {
  clearSuggestions();
  unsay('suggest');
  const control = looking.begin();
  $suggesting.set({ cancel: () => control.abort() });
  try {
    const found = await engine().call(
      'suggest',
      { lines: $lines.get(), spots: $recipe.get().spots },
      { signal: control.signal },
    );
    if (!looking.isLatest(control) || control.signal.aborted) return;
    $computedFrom.set(filesNow());
    $suggestions.set(found);
    $hung.set([...$hung.get(), ...found.suggestions.map(({ id, recipe }) => ({ id: wallId(id), recipe }))]);
  } catch (error) {
    if (!control.signal.aborted) report('suggest', error);
  } finally {
    if (looking.isLatest(control)) $suggesting.set(undefined);
  }
};

// What was computed from other masters must not stand for these. Samples stand where masters of the last visit did:
// what was computed from those waits until they are open again.
$lines.listen((lines, before) => {
  if (JSON.stringify(lines) === JSON.stringify(before) || Object.keys(lines).length === 0) return;
  const kept = $computedFrom.get();
  if (kept !== undefined && ($onSamples.get() || kept === filesNow())) return;
  clearSuggestions();
});
