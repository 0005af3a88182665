import { atom, onMount } from 'nanostores';
import type { Box } from '../../lib/plane/box.ts';
import type { Preview } from '../../lib/web/preview.ts';
import { missingLines } from '../model/columns.ts';
import type { Figures } from '../model/figures.ts';
import { oneAtATime } from '../model/one-at-a-time.ts';
import { $candidates, type Candidate } from './candidates.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';

/** Longest side of a picture on the wall. */
const LONGEST = 480;

/** Candidate → the mix it gives on the open masters. */
export const $wall = atom<Readonly<Record<string, Preview>>>({});

/** Candidates that someone wants to see: those in view, or all where they are put in order. */
const $wanted = atom<ReadonlySet<string>>(new Set());

export const want = (...ids: readonly string[]): void => {
  const before = $wanted.get();
  if (ids.some((id) => !before.has(id))) $wanted.set(new Set([...before, ...ids]));
};

/** What the candidates are put in order by. */
export const ORDERS = ['listed', 'separation', 'noise', 'outside'] as const;
export type Order = (typeof ORDERS)[number];
export const $order = atom<Order>('listed');

/** Whether the wall is laid out as a map of two figures, wherever there is room for it. */
export const $mapped = atom(false);

/** What was computed of candidates whose mix is known. */
export const $figures = atom<Readonly<Record<string, Figures>>>({});

/** The part of the masters that every candidate shows; all of it where undefined. */
export const $part = atom<Box | undefined>(undefined);

/** That part from the full-size masters, where they show more than the small pictures. */
export const $sharp = atom<Readonly<Record<string, Preview>>>({});

/** So many pictures are under way at once: the worker mixes one while the page draws another. */
const LANES = 4;

const fillOnce = async (signal: AbortSignal): Promise<void> => {
  const lines = $lines.get();
  const tried = new Set<string>();
  const isNext = ({ id, recipe }: Candidate) =>
    $wanted.get().has(id) &&
    $wall.get()[id] === undefined &&
    !tried.has(id) &&
    missingLines(recipe, Object.keys(lines)).length === 0;
  const lane = async (): Promise<void> => {
    for (;;) {
      const next = $candidates.get().find(isNext);
      if (next === undefined || signal.aborted) return;
      const { id, recipe } = next;
      tried.add(id);
      const picture = await engine()
        .call('preview', { lines, recipe, longest: LONGEST }, { signal })
        // What is wrong with the masters is said where the picture is made.
        .catch(() => undefined);
      if (signal.aborted) return;
      if (picture !== undefined) $wall.set({ ...$wall.get(), [id]: picture });
    }
  };
  await Promise.all(Array.from({ length: LANES }, lane));
};

const filling = oneAtATime(fillOnce);

/** Pictures of what was taken down must not stand for what is hung up next. */
const keepHanging = (): void => {
  const ids = new Set($candidates.get().map(({ id }) => id));
  const kept = Object.entries($wall.get()).filter(([id]) => ids.has(id));
  if (kept.length < Object.keys($wall.get()).length) $wall.set(Object.fromEntries(kept));
};

onMount($wall, () => {
  const stops = [
    $lines.listen((lines, before) => {
      if (JSON.stringify(lines) === JSON.stringify(before)) return;
      $wall.set({});
      filling.restart();
    }),
    $candidates.listen(() => {
      keepHanging();
      filling.ask();
    }),
    $wanted.listen(() => filling.ask()),
  ];
  filling.restart();
  return () => {
    for (const stop of stops) stop();
    filling.stop();
  };
});
