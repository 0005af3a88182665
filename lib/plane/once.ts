import type { StripOptions } from './strips.ts';

export type Remembered<T> = (key: string, options: StripOptions) => Promise<T>;

/** Remembers what `make` gave for a key; a failure, such as a cancellation, is forgotten. */
export const once = <T>(make: Remembered<T>): Remembered<T> => {
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
