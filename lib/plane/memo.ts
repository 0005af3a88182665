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

/** The same for work that takes time; a failure, such as a cancellation, is forgotten. */
export const memoAsync = <T>(make: Remembered<T>): Remembered<T> => {
  const made = new Map<string, Promise<T>>();
  return (key, options) => {
    const before = made.get(key);
    if (before !== undefined) return before;
    const fresh = make(key, options);
    made.set(key, fresh);
    fresh.catch(() => made.delete(key));
    return fresh;
  };
};
