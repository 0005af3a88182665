import { atom, computed } from 'nanostores';
import type { Cover } from '../../lib/work/cover.ts';
import { missingLines } from '../model/columns.ts';
import { text } from '../text.ts';
import { askOnChange } from './ask-on-change.ts';
import { engine } from './engine.ts';
import { $history, changePart } from './history.ts';
import { $lines } from './masters.ts';
import { $recipe } from './recipe.ts';

/** Whether the saved picture is cut to what all its lines cover. */
export const $crop = computed($history, ({ present }) => present.value.crop === true);

export const setCrop = (crop: boolean): void => changePart({ crop }, text.save.cropStep);

/** What a crop would leave; undefined until it is known, and where it is not asked for. */
export const $cover = atom<Cover | undefined>(undefined);

askOnChange($cover, {
  topic: 'crop',
  on: [$crop, $lines, $recipe],
  async ask(signal) {
    const [lines, recipe] = [$lines.get(), $recipe.get()];
    const known = Object.keys(lines);
    if (!$crop.get() || known.length === 0 || missingLines(recipe, known).length > 0) return undefined;
    return engine().call('cover', { lines, recipe }, { signal });
  },
});
