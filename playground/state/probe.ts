import { atom } from 'nanostores';
import type { ProbeQuestion } from '../../lib/web/probe.ts';
import type { ProbeAnswer } from '../../lib/work/probe.ts';
import { missingLines } from '../model/columns.ts';
import { askOnChange } from './ask-on-change.ts';
import { $candidates } from './candidates.ts';
import { $engineRun, engine } from './engine.ts';
import { $lines } from './masters.ts';
import { $picture } from './picture.ts';
import { $recipe } from './recipe.ts';
import { $stars, isLaidOver } from './stars.ts';

/** The full-size pixel that is looked at. */
export const $spot = atom<{ readonly x: number; readonly y: number } | undefined>(undefined);

/** Whether the spot stays where it is, whatever the pointer does. */
export const $held = atom(false);

/** Whether the same pixel is looked up in all that hangs on the wall. */
export const $linked = atom(false);

/** What the pixel is made of; undefined until it is known, and where there is no mix. */
export const $probe = atom<ProbeAnswer | undefined>(undefined);

/** Mixes whose noise was asked for, and whether it is known. */
const noises = new Map<string, boolean>();
type Mix = Pick<ProbeQuestion, 'lines' | 'recipe'>;
const keyOf = ({ lines, recipe }: Mix): string => JSON.stringify([lines, recipe, $engineRun.get()]);
const isLearned = (mix: Mix): boolean => noises.get(keyOf(mix)) === true;

/** The noise takes a look at the masters: the first answers come without it, and the last again with it. */
const learnNoise = (mix: Mix): void => {
  const key = keyOf(mix);
  if (noises.has(key)) return;
  noises.set(key, false);
  const learned = () => {
    noises.set(key, true);
    asking.ask();
  };
  // Whatever stands in the way is said where the mix is made.
  engine()
    .call('pixelNoise', mix)
    .then(learned, () => {});
};

const asking = askOnChange($probe, {
  topic: 'probe',
  on: [$spot, $recipe, $lines, $picture, $linked, $candidates, $stars],
  async ask(signal) {
    const [spot, lines, recipe] = [$spot.get(), $lines.get(), $recipe.get()];
    const known = Object.keys(lines);
    const full = $picture.get()?.full;
    if (spot === undefined || full === undefined || missingLines(recipe, known).length > 0) return undefined;
    if (spot.x >= full.width || spot.y >= full.height) {
      // Masters of another size may not have this pixel.
      $spot.set(undefined);
      return undefined;
    }
    const fitting = $candidates.get().filter((other) => missingLines(other.recipe, known).length === 0);
    const others = $linked.get() ? fitting.map(({ id, recipe }) => ({ id, recipe })) : [];
    const mix = { lines, recipe };
    const stars = isLaidOver(recipe);
    const answer = await engine().call('probe', { ...mix, ...spot, others, stars, waits: isLearned(mix) }, { signal });
    if (!signal.aborted && answer.noise === undefined && answer.colour !== undefined) learnNoise(mix);
    return answer;
  },
});
