import { LinewashError } from '../plane/errors.ts';

const SECONDS: Readonly<Record<string, number>> = { s: 1, m: 60, min: 60, h: 3600 };

/** Seconds of a text such as `300s`, `45m`, `4.5h`; undefined where it is none: a unit is always wanted. */
export const secondsOf = (text: string): number | undefined => {
  const match = /^(\d+(?:\.\d+)?)\s*(s|min|m|h)$/.exec(text.trim());
  return match === null ? undefined : Number(match[1]) * SECONDS[match[2]!]!;
};

/** @throws LinewashError 'usage' where the text is no duration. */
export const requireSeconds = (text: string, what: string): number => {
  const seconds = secondsOf(text);
  if (seconds !== undefined) return seconds;
  throw new LinewashError({
    tag: 'usage',
    message: `${what}: ${JSON.stringify(text)} is no duration`,
    advice: 'write a number and s, m or h, for example 300s or 4.5h',
  });
};
