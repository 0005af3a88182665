import { atom, computed } from 'nanostores';
import type { HoursAnswer, HoursQuestion } from '../../lib/web/hours.ts';
import { missingLines, usedLines } from '../model/columns.ts';
import { axisEnd, roundHours } from '../model/hours-figures.ts';
import type { Plan } from '../model/plan.ts';
import { text } from '../text-hours.ts';
import { askOnChange } from './ask-on-change.ts';
import { engine } from './engine.ts';
import { $history, changePart } from './history.ts';
import { $lines, $masters, linesOf, type PageMaster } from './masters.ts';
import { $recipe } from './recipe.ts';

export const HOURS_GOALS = ['luminance', 'colour', 'snr'] as const satisfies readonly HoursQuestion['goal'][];

export const $plan = computed($history, ({ present }) => present.value.plan);

/** Changes the plan as a named step that can be undone. */
export const changePlan = (part: Partial<Plan>, label: string, key?: string): void =>
  changePart({ plan: { ...$plan.get(), ...part } }, label, key);

export const $feature = computed($plan, ({ feature }) => feature);

/** Where noise is looked at beside the background: an outline, or else a box. */
export const $place = computed($plan, ({ feature, outline }) => (outline ? { outline } : { box: feature }));

/** The files that stand for a line, as their hours are named. */
const filesOf = (line: string, masters: readonly PageMaster[]): string =>
  masters
    .filter((master) => master.line === line)
    .map(({ file }) => file)
    .join(', ');

/** Typed hours by line of these masters. */
export const timeOf = (typed: Plan['typed'], masters: readonly PageMaster[]): Readonly<Record<string, number>> =>
  Object.fromEntries(
    Object.keys(linesOf(masters)).flatMap((line) => {
      const hours = typed[filesOf(line, masters)];
      return hours === undefined ? [] : [[line, hours]];
    }),
  );

/** Typed hours by line. */
export const $time = computed([$plan, $masters], ({ typed }, masters) => timeOf(typed, masters));

/** The most hours to come that were asked for: the axis does not shrink under the hand that moves along it. */
const $widest = atom(0);

/** Where the axis of hours to come ends. */
export const $until = computed([$masters, $time, $widest], (masters, time, widest) => {
  const untyped = masters.filter(({ line }) => line !== '' && !(line in time));
  const typed = Object.values(time).reduce((sum, hours) => sum + hours, 0);
  return axisEnd(typed + untyped.reduce((sum, { facts }) => sum + (facts.hours ?? 0), 0), widest);
});

export const setMore = (hours: number): void => {
  if (hours > $until.get()) $widest.set(roundHours(hours));
  changePlan({ more: hours }, text.steps.more, 'more');
};

/** Sets the nights that the hours fall into; each stays as long as it was. */
export const setNights = (nights: number): void => {
  const before = $plan.get();
  const more = (before.more / before.nights) * nights;
  if (more > $until.get()) $widest.set(roundHours(more));
  changePlan({ nights, more }, text.steps.nights, 'nights');
};

/** Sets a line's hours so far; back to what its header says where none are given. */
export const setSpent = (line: string, hours: number | undefined): void => {
  const file = filesOf(line, $masters.get());
  const { [file]: _, ...others } = $plan.get().typed;
  changePlan(
    { typed: hours === undefined ? others : { ...others, [file]: hours } },
    text.steps.spent(line),
    `h ${line}`,
  );
};

/** Sets the most hours that a line gets in all; any number where none is given. */
export const setCap = (line: string, hours: number | undefined): void => {
  const { [line]: _, ...others } = $plan.get().caps;
  changePlan(
    { caps: hours === undefined ? others : { ...others, [line]: hours } },
    text.steps.cap(line),
    `cap ${line}`,
  );
};

/** The ledger and the plan for the mix on screen; undefined until they are known, and where there is no mix. */
export const $answer = atom<HoursAnswer | undefined>(undefined);

/** The share of looking at the noise that is done, while that is under way. */
export const $looking = atom<number | undefined>(undefined);

askOnChange($answer, {
  topic: 'hours',
  on: [$recipe, $time, $plan, $until],
  // An answer about other masters must not stand for these.
  dropOn: [$lines],
  async ask(signal) {
    const lines = $lines.get();
    const recipe = $recipe.get();
    if (usedLines(recipe).length === 0 || missingLines(recipe, Object.keys(lines)).length > 0) return undefined;
    const { goal, snr, more, nights, change, caps } = $plan.get();
    const plan = { goal, snr, more, nights, change, caps, until: $until.get(), ...$place.get() };
    try {
      const progress = (done: number) => $looking.set(done);
      return await engine().call('hours', { lines, recipe, time: $time.get(), ...plan }, { signal, progress });
    } finally {
      $looking.set(undefined);
    }
  },
});
