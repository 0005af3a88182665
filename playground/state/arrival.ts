import { atom } from 'nanostores';

/** What masters are whose lines are taken: of the same lines in place of others, more nights of them, or another target. */
export const PLACES = ['replace', 'nights', 'target'] as const;
export type Place = (typeof PLACES)[number];

/** Masters that have come, and the question what they are. */
export interface Arrival {
  readonly files: readonly string[];
  /** The lines that are taken. */
  readonly lines: readonly string[];
  /** Undefined: they are not opened. */
  answer(place: Place | undefined): void;
}

export const $arrival = atom<Arrival | undefined>(undefined);

/** Asks what masters are; who is asked already hears that the earlier ones are not opened. */
export const askWhere = (about: Pick<Arrival, 'files' | 'lines'>): Promise<Place | undefined> => {
  $arrival.get()?.answer(undefined);
  return new Promise((resolve) => {
    const answer = (place: Place | undefined) => {
      $arrival.set(undefined);
      resolve(place);
    };
    $arrival.set({ ...about, answer });
  });
};
