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

/** Makes the answer to a key, and remembers it. */
export type Once = <T>(key: string, make: () => Promise<T>) => Promise<T>;

/** Remembers the answers to the last few keys; a failure is forgotten. */
export const fewRemembered = (most = 4): Once => {
  const made = new Map<string, Promise<unknown>>();
  return <T>(key: string, make: () => Promise<T>) => {
    const answer = (made.get(key) as Promise<T> | undefined) ?? make();
    made.delete(key);
    made.set(key, answer);
    answer.catch(() => made.delete(key));
    const [oldest] = made.keys();
    if (made.size > most) made.delete(oldest!);
    return answer;
  };
};
