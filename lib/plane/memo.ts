import { LinewashError } from './errors.ts';
import type { StripOptions } from './strips.ts';

/** Remembers each answer of `find`. */
export const memo = <Question, Answer>(find: (question: Question) => Answer): ((question: Question) => Answer) => {
  const found = new Map<Question, Answer>();
  return (question) => {
    if (!found.has(question)) found.set(question, find(question));
    return found.get(question)!;
  };
};

export type Remembered<T> = (key: string, options: StripOptions) => Promise<T>;

/** Whether an error is that of somebody who gave up waiting. */
const isGivenUp = (error: unknown): boolean => error instanceof LinewashError && error.tag === 'cancelled';

/**
 * The same for work that takes time; a failure is forgotten. Where whoever asked first gives up, the work begins anew for
 * those who still wait.
 */
export const memoAsync = <T>(make: Remembered<T>): Remembered<T> => {
  const made = new Map<string, Promise<T>>();
  const begin: Remembered<T> = (key, options) => {
    const fresh = make(key, options);
    made.set(key, fresh);
    fresh.catch(() => made.delete(key));
    return fresh;
  };
  const ask: Remembered<T> = async (key, options) => {
    const before = made.get(key);
    if (before === undefined) return begin(key, options);
    try {
      return await before;
    } catch (error) {
      if (!isGivenUp(error) || options.signal?.aborted) throw error;
      return ask(key, options);
    }
  };
  return ask;
};

/** Makes the answer to a key, and remembers it. */
export type Once = <T>(key: string, make: () => Promise<T>) => Promise<T>;

/** Remembers the answers to the last few keys; a failure is forgotten, and nobody has another's cancellation. */
export const fewRemembered = (most = 4): Once => {
  const made = new Map<string, Promise<unknown>>();
  return async <T>(key: string, make: () => Promise<T>) => {
    const before = made.get(key) as Promise<T> | undefined;
    const answer = before ?? make();
    made.delete(key);
    made.set(key, answer);
    if (before === undefined) answer.catch(() => made.delete(key));
    const [oldest] = made.keys();
    if (made.size > most) made.delete(oldest!);
    try {
      return await answer;
    } catch (error) {
      // Whoever gave up himself gives up again at once.
      if (before === undefined || !isGivenUp(error)) throw error;
      return make();
    }
  };
};
