import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { $alone } from '../state/alone.ts';
import { $arrival } from '../state/arrival.ts';
import { setBox } from '../state/box.ts';
import { setCrop } from '../state/crop.ts';
import { useEngine } from '../state/engine.ts';
import { $faint } from '../state/faint.ts';
import { $faintShown } from '../state/faint-shown.ts';
import { $places } from '../state/held-places.ts';
import { notePart } from '../state/history.ts';
import { $keysShown } from '../state/keys.ts';
import { $masters, $onSamples } from '../state/masters.ts';
import { say } from '../state/messages.ts';
import { $picture } from '../state/picture.ts';
import { $spot } from '../state/probe.ts';
import { beginWith } from '../state/recipe.ts';
import { $ringsShown } from '../state/rings.ts';
import { $saving } from '../state/saving.ts';
import { $seasonPlan } from '../state/season.ts';
import { $stars } from '../state/stars.ts';
import { $suggestions } from '../state/suggestions.ts';
import { $tally } from '../state/tally.ts';
import { $targetPictures, $targetsShown } from '../state/target-wall.ts';
import { $figures } from '../state/wall.ts';
import { exampleEngine } from './answers.ts';
import { faintView } from './example-faint.ts';
import { season } from './example-season.ts';
import { master, preview, suggestion, tallied } from './examples.ts';

const nothing = (): void => {};

/** Puts the page in the middle of everything at once: each element then has something to show. */
export const setExamples = (): void => {
  useEngine(exampleEngine);
  const { recipe } = CATALOGUE.find((one) => one.recipe.knobs !== undefined)!;
  beginWith({ ...recipe, stars: {} });
  $onSamples.set(false);
  $masters.set([master('S'), master('H', { warnings: ['Its last rows are missing.'] }), master('O')]);
  $picture.set(preview());
  const target = { masters: $masters.get(), boxes: {} };
  const all = ['Emberwing', 'Palehoop'].map((name) => ({ ...target, name }));
  notePart({ targets: { current: 'Emberwing', all } });
  $targetsShown.set(true);
  $seasonPlan.set(season);
  $targetPictures.set([
    { name: 'Emberwing', picture: preview(), missing: [] },
    { name: 'Palehoop', missing: ['S'] },
  ]);
  $alone.set({ line: 'H', id: 'id-H' });
  $arrival.set({ files: ['field-H-2.fits'], lines: ['H'], answer: nothing });
  $keysShown.set(true);
  $tally.set(tallied);
  $spot.set({ x: 12, y: 7 });
  $places.set([{ x: 12, y: 7, colour: '0.120@55' }]);
  $ringsShown.set(true);
  $faint.set({ H: { ...faintView(), name: 'H' } });
  $faintShown.set('H');
  $stars.set({ files: [new File([], 'stars.tif')], width: 60, height: 40, warnings: [] });
  $suggestions.set({
    suggestions: [suggestion],
    plain: { ...suggestion, channels: ['S', 'H', 'O'] },
    weak: ['S'],
    leftOut: ['Decorrelated: too pale within the limits'],
  });
  $saving.set({ file: 'Ember.tif', done: 0.4, cancel: nothing });
  const figures = (separation: number, noise: number) => ({ separation, noise, outside: 0 });
  $figures.set({ ember: figures(20, 0.03), sho: figures(61.4, 0.05), hoo: figures(44, 0.01) });
  setCrop(true);
  setBox('background', { x: 4, y: 4, width: 12, height: 10 });
  setBox('feature', { x: 30, y: 14, width: 16, height: 12 });
  say({ topic: 'story', kind: 'note', words: 'Something was done.', action: { words: 'Take it back', act: nothing } });
  say({ topic: 'fault', kind: 'fault', words: 'Something went wrong.', advice: 'This is what helps.' });
};
