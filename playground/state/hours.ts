import { atom, computed, onMount } from 'nanostores';
import type { Box } from '../../lib/web/crop.ts';
import type { HoursAnswer, HoursQuestion } from '../../lib/web/hours.ts';
import { missingLines, usedLines } from '../model/columns.ts';
import { axisEnd, roundHours } from '../model/hours-figures.ts';
import { oneAtATime } from '../model/one-at-a-time.ts';
import { engine } from './engine.ts';
import { $lines, $masters } from './masters.ts';
import { report, unsay } from './messages.ts';
import { $recipe } from './recipe.ts';

export const HOURS_GOALS = ['luminance', 'colour'] as const satisfies readonly HoursQuestion['goal'][];
export type HoursGoal = (typeof HOURS_GOALS)[number];

export const $goal = atom<HoursGoal>('luminance');

/** Hours to come, on the clock. */
export const $more = atom(10);

/** Hours that were typed in, by the id of the master; they stand instead of the header's. */
export const $typed = atom<Readonly<Record<string, number>>>({});

/** The feature whose SNR is looked at, and for which hours are then planned; the background where there is none. */
export const $feature = atom<Box | undefined>(undefined);

/** Typed hours by line. */
export const $time = computed([$typed, $lines], (typed, lines) =>
  Object.fromEntries(Object.entries(lines).flatMap(([line, id]) => (id in typed ? [[line, typed[id]!]] : []))),
);

/** The most hours to come that were asked for: the axis does not shrink under the hand that moves along it. */
const $widest = atom(0);

/** Where the axis of hours to come ends. */
export const $until = computed([$masters, $typed, $widest], (masters, typed, widest) => {
  const used = masters.filter(({ line }) => line !== '');
  const spent = used.reduce((sum, { id, facts }) => sum + (typed[id] ?? facts.hours ?? 0), 0);
  return axisEnd(spent, widest);
});

export const setMore = (hours: number): void => {
  if (hours > $until.get()) $widest.set(roundHours(hours));
  $more.set(hours);
};

/** Sets a line's hours so far; back to what its header says where none are given. */
export const setSpent = (line: string, hours: number | undefined): void => {
  const id = $lines.get()[line];
  if (id === undefined) return;
  const { [id]: _, ...others } = $typed.get();
  $typed.set(hours === undefined ? others : { ...others, [id]: hours });
};

/** The ledger and the plan for the mix on screen; undefined until they are known, and where there is no mix. */
export const $answer = atom<HoursAnswer | undefined>(undefined);

/** The share of looking at the noise that is done, while that is under way. */
export const $looking = atom<number | undefined>(undefined);

const askOnce = async (signal: AbortSignal): Promise<void> => {
  const lines = $lines.get();
  const recipe = $recipe.get();
  if (usedLines(recipe).length === 0 || missingLines(recipe, Object.keys(lines)).length > 0)
    return void $answer.set(undefined);
  const [time, goal, more, until, box] = [$time.get(), $goal.get(), $more.get(), $until.get(), $feature.get()];
  const question = { lines, recipe, time, goal, more, until, box };
  try {
    const progress = (done: number) => $looking.set(done);
    const answer = await engine().call('hours', question, { signal, progress });
    if (signal.aborted) return;
    unsay('hours');
    $answer.set(answer);
  } catch (error) {
    if (!signal.aborted) report('hours', error);
  } finally {
    $looking.set(undefined);
  }
};

const asking = oneAtATime(askOnce);

onMount($answer, () => {
  const stops = [
    // An answer about other masters must not stand for these.
    $lines.listen((lines, before) => {
      if (JSON.stringify(lines) === JSON.stringify(before)) return;
      $answer.set(undefined);
      asking.restart();
    }),
    ...[$recipe, $time, $goal, $more, $until, $feature].map((store) => store.listen(() => asking.ask())),
  ];
  asking.restart();
  return () => {
    for (const stop of stops) stop();
    asking.stop();
  };
});
