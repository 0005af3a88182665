import { atom } from 'nanostores';
import { planCsv } from '../../lib/hours/plan/plan.ts';
import { download } from '../../lib/web/bytes/download.ts';
import type { SeasonAnswer } from '../../lib/web/season.ts';
import { missingLines } from '../model/columns.ts';
import { fileStem } from '../model/file-name.ts';
import {
  checkedSeason,
  freshSeason,
  nightsFrom,
  type SeasonWish,
  type TargetPlan,
  USUAL,
  writtenNights,
  writtenTarget,
} from '../model/season-wish.ts';
import { boxesOf, withBoxes } from '../model/target-boxes.ts';
import { targetNameOf } from '../model/target-groups.ts';
import { text } from '../text-season.ts';
import { text as targetsText } from '../text-targets.ts';
import { askOnChange } from './ask-on-change.ts';
import { engine } from './engine.ts';
import { $targets, type PageTarget } from './history.ts';
import { $plan, timeOf } from './hours.ts';
import { keep, kept } from './kept.ts';
import { $lines, $masters, linesOf } from './masters.ts';
import { say } from './messages.ts';
import { withMasters } from './passing-masters.ts';
import { $recipe } from './recipe.ts';
import { targetsNow } from './targets.ts';

const today = (): string => new Date(Date.now() - new Date().getTimezoneOffset() * 60_000).toISOString().slice(0, 10);

export const $season = atom<SeasonWish>(checkedSeason(kept('season')) ?? freshSeason(today()));

/** Changes the wishes, and keeps them for the next visit. */
export const changeSeason = (part: Partial<SeasonWish>): void => {
  $season.set({ ...$season.get(), ...part });
  keep('season', $season.get());
};

/** Sets when the nights begin, how many they are and, for those that come anew, how long each is dark. */
export const setSeasonNights = (first: string, count: number): void => {
  const { nights } = $season.get();
  changeSeason({ nights: nightsFrom(first, count, nights.at(-1)?.dark ?? 6, nights) });
};

/** Sets the dark hours of one night, or of all. */
export const setDark = (dark: number, date?: string): void =>
  changeSeason({
    nights: $season
      .get()
      .nights.map((night) => (date === undefined || night.date === date ? { ...night, dark } : night)),
  });

export const planOf = (name: string): TargetPlan => $season.get().targets[name] ?? USUAL;

export const setTargetPlan = (name: string, part: Partial<TargetPlan>): void =>
  changeSeason({ targets: { ...$season.get().targets, [name]: { ...planOf(name), ...part } } });

/** The targets that nights are planned for: all that the page knows, or the open masters. */
export const seasonTargets = (): readonly PageTarget[] => {
  const now = targetsNow();
  if (now !== undefined) return now.all;
  const masters = $masters.get();
  const name = targetNameOf(masters) ?? targetsText.unnamed(1);
  return masters.length === 0 ? [] : [{ name, masters, boxes: boxesOf($recipe.get(), $plan.get()) }];
};

/** A plan, and the targets that were left out because the mix needs lines that they lack. */
export interface PlannedSeason extends SeasonAnswer {
  readonly left: readonly { readonly name: string; readonly missing: readonly string[] }[];
}

export const $seasonPlan = atom<PlannedSeason | undefined>(undefined);

/** The share of the measuring that is done, while that is under way. */
export const $seasonWork = atom<number | undefined>(undefined);

const lacking = ({ masters }: PageTarget): string[] => missingLines($recipe.get(), Object.keys(linesOf(masters)));

askOnChange<PlannedSeason>($seasonPlan, {
  topic: 'season',
  on: [$season, $plan],
  restartOn: [$recipe, $targets, $lines],
  forgets: true,
  async ask(signal) {
    const all = seasonTargets();
    const able = all.filter((target) => lacking(target).length === 0);
    const left = all.flatMap((target) => {
      const missing = lacking(target);
      return missing.length > 0 ? [{ name: target.name, missing }] : [];
    });
    const season = $season.get();
    const nights = writtenNights(season);
    if (able.length === 0 || nights.length === 0) return { nights: [], targets: [], warnings: [], left };
    const { typed } = $plan.get();
    const targets = able.map(({ name, masters, boxes }) => ({
      lines: linesOf(masters),
      recipe: withBoxes($recipe.get(), boxes),
      time: timeOf(typed, masters),
      box: boxes.feature,
      wish: writtenTarget(name, planOf(name), nights, boxes.feature),
    }));
    const { change, overhead } = season;
    const question = { targets, nights, change: `${change}m`, overhead: `${overhead}s` };
    const progress = (done: number) => $seasonWork.set(done);
    try {
      const masters = able.flatMap((target) => target.masters);
      const ask = () => engine().call('season', question, { signal, progress });
      return { ...(await withMasters(masters, signal, ask)), left };
    } finally {
      $seasonWork.set(undefined);
    }
  },
});

/** Saves the nights as CSV, as `linewash hours --plan … --csv` prints them. */
export const saveSeason = (): void => {
  const plan = $seasonPlan.get();
  if (plan === undefined) return;
  const file = `${fileStem(text.fileName)}.csv`;
  download(new Blob([planCsv(plan)], { type: 'text/csv' }), file);
  say({ topic: 'season', kind: 'note', words: text.saved(file) });
};
