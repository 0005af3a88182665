import { InvalidArgumentError } from 'commander';
import { requireSeconds, secondsOf } from '../hours/duration.ts';
import type { LineHours } from '../hours/line-hours.ts';
import { type ByLine, underLineNames } from '../hours/line-names.ts';
import type { Box } from '../plane/box.ts';

/** `S=4.5h,O=3h`, or `300s` for all lines; may be given several times. */
export const byLine =
  <T>(read: (text: string) => T) =>
  (text: string, before: ByLine<T> = {}): ByLine<T> => {
    const found = text.split(',').map((word): [string, T] => {
      const at = word.indexOf('=');
      return [at < 0 ? '*' : word.slice(0, at).trim(), read(word.slice(at + 1))];
    });
    return Object.fromEntries([...Object.entries(before), ...found]);
  };

export const duration = (text: string): number => {
  const seconds = secondsOf(text);
  if (seconds === undefined) throw new InvalidArgumentError('Give a number with s, m or h, for example 300s or 4.5h.');
  return seconds;
};

/** A duration in hours. */
export const inHours = (text: string): number => duration(text) / 3600;

/** The same for what people count in hours: a number alone is one of hours. */
export const hoursOf = (text: string): number => (/^\s*\d+(\.\d+)?\s*$/.test(text) ? Number(text) : inHours(text));

export const positive = (text: string): number => {
  const value = Number(text);
  if (!/^\d*\.?\d+(e[-+]?\d+)?$/i.test(text.trim()) || !(value > 0))
    throw new InvalidArgumentError('Give a number above 0.');
  return value;
};

export const zeroOrMore = (text: string): number => (Number(text) === 0 && text.trim() !== '' ? 0 : positive(text));

export const count = (text: string): number => {
  if (!/^\d{1,7}$/.test(text) || Number(text) < 2) throw new InvalidArgumentError('Give a whole number above 1.');
  return Number(text);
};

export const box = (text: string): Box => {
  const match = /^(\d+),(\d+),(\d+),(\d+)$/.exec(text.trim().replace(/\s*,\s*/g, ','));
  if (match === null)
    throw new InvalidArgumentError('Give LEFT,TOP,WIDTH,HEIGHT in pixels, counted from 0 at the top left.');
  const [x, y, width, height] = match.slice(1).map(Number);
  return { x: x!, y: y!, width: width!, height: height! };
};

/** `3x6h`: nights and dark hours each. */
export const nights = (text: string): { count: number; hours: number } => {
  const match = /^(\d{1,3})\s*[x×]\s*(.+)$/.exec(text);
  const seconds = match === null ? undefined : secondsOf(match[2]!);
  if (match === null || seconds === undefined)
    throw new InvalidArgumentError('Give nights and hours, for example 3x6h.');
  return { count: Number(match[1]), hours: seconds / 3600 };
};

/** `S:O=2h`: hours moved from one line to another. */
export const move = (text: string): { from: string; to: string; hours: number } => {
  const match = /^([^:=]+):([^:=]+)=(.+)$/.exec(text);
  if (match === null) throw new InvalidArgumentError('Give FROM:TO=HOURS, for example S:O=2h.');
  return { from: match[1]!.trim(), to: match[2]!.trim(), hours: requireSeconds(match[3]!, '--move') / 3600 };
};

/** Options that say how lines may be exposed from now on. */
export interface LineFlags {
  readonly sub?: ByLine<number>;
  readonly overhead?: ByLine<number>;
  readonly cap?: ByLine<number>;
  readonly weight?: ByLine<number>;
  readonly sky?: ByLine<number>;
  readonly gain?: ByLine<number>;
  readonly pedestal?: ByLine<number>;
  readonly readNoise?: ByLine<number>;
}

const OPTIONS = {
  sub: '--sub',
  overhead: '--overhead',
  cap: '--cap',
  weight: '--weight',
  readNoise: '--read-noise',
  sky: '--sky',
  gain: '--gain',
  pedestal: '--pedestal',
} as const satisfies Record<keyof LineFlags, string>;

/**
 * All options by line instead of by option.
 * @throws LinewashError 'usage' where an option names a line that is not there.
 */
export const hoursByLine = (flags: LineFlags, names: readonly string[]): ByLine<LineHours> => {
  const lines = new Map<string, Record<string, number>>();
  for (const [key, option] of Object.entries(OPTIONS) as [keyof LineFlags, string][])
    for (const [name, value] of Object.entries(underLineNames(option, flags[key] ?? {}, names)))
      lines.set(name, { ...lines.get(name), [key]: value });
  return Object.fromEntries(lines);
};
