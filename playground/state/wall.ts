import { atom, onMount } from 'nanostores';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import type { Preview } from '../../lib/web/service.ts';
import { missingLines } from '../model/columns.ts';
import { latest } from '../model/latest.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';

/** Longest side of a picture on the wall. */
const LONGEST = 480;

/** Catalogue recipe → the mix it gives on the open masters. */
export const $wall = atom<Readonly<Record<string, Preview>>>({});

const filling = latest();

const fill = async (): Promise<void> => {
  const control = filling.begin();
  const lines = $lines.get();
  $wall.set({});
  for (const { id, recipe } of CATALOGUE) {
    if (missingLines(recipe, Object.keys(lines)).length > 0) continue;
    const picture = await engine()
      .call('preview', { lines, recipe, longest: LONGEST }, { signal: control.signal })
      // What is wrong with the masters is said where the picture is made.
      .catch(() => undefined);
    if (control.signal.aborted) return;
    if (picture !== undefined) $wall.set({ ...$wall.get(), [id]: picture });
  }
};

onMount($wall, () => {
  void fill();
  return $lines.listen((lines, before) => {
    if (JSON.stringify(lines) !== JSON.stringify(before)) void fill();
  });
});
