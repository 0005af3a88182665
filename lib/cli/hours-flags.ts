import { InvalidArgumentError } from 'commander';
import type { Goal } from '../hours/advice.ts';
import { expectedNoise } from '../hours/ccd.ts';
import { requireSeconds, secondsOf } from '../hours/duration.ts';
import type { Exposure } from '../hours/exposure.ts';
import type { LineWish } from '../hours/goal.ts';
import type { Quantity } from '../hours/outputs.ts';
import type { SnrOf } from '../hours/snr.ts';
import type { Box } from '../plane/box.ts';
import { LinewashError } from '../plane/errors.ts';
import { nearest } from '../plane/name.ts';
import { channelFor } from '../recipe/written/channel-for.ts';

/** Values by line name; `*` stands for all lines that have none of their own. */
export type ByLine<T> = Readonly<Record<string, T>>;

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

/** Options whose values by line are given under spellings of the lines, as `Ha` for H, under the lines' own names. */
export const withLineNames = <F extends object>(flags: F, lines: readonly string[]): F =>
  Object.fromEntries(
    Object.entries(flags).map(([key, value]) => [key, BY_LINE_KEYS.has(key) ? renamed(value, lines) : value]),
  ) as F;

const BY_LINE_KEYS = new Set(['time', 'sub', 'overhead', 'cap', 'weight', 'readNoise', 'sky', 'gain', 'pedestal']);

const renamed = (values: ByLine<unknown>, lines: readonly string[]) =>
  Object.fromEntries(Object.entries(values).map(([name, value]) => [channelFor(name, lines) ?? name, value]));

/** @throws LinewashError 'usage' where an option names a line that is not there. */
export const checkNames = (option: string, values: ByLine<unknown> | undefined, names: readonly string[]): void => {
  for (const name of Object.keys(values ?? {})) {
    if (name === '*' || names.includes(name)) continue;
    const near = nearest(name, names);
    throw new LinewashError({
      tag: 'usage',
      message: `--${option}: there is no line ${JSON.stringify(name)}`,
      advice: `${near ? `did you mean ${near}? ` : ''}lines: ${names.join(', ')}`,
    });
  }
};

/**
 * What the hours are for: as said, else an SNR where something is said about one, else least luminance noise.
 * @throws LinewashError 'usage' where something is said about an SNR and another goal is named.
 */
export const goalFor = ({ goal, ...flags }: GoalFlags): Goal => {
  const about = SNR_FLAGS.filter((name) => flags[name] !== undefined);
  if (about.length === 0) return goal ?? 'luminance';
  if (goal === undefined || goal === 'snr') return 'snr';
  throw new LinewashError({
    tag: 'usage',
    message: `--${about[0]} is about an SNR, but the goal is ${goal}`,
    advice: `leave out --${about[0]}, or use --goal snr with --box`,
  });
};

interface GoalFlags {
  readonly goal?: Goal;
  readonly snr?: number;
  readonly in?: Quantity;
  readonly per?: SnrOf;
}

const SNR_FLAGS = ['snr', 'in', 'per'] as const;

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

/** What the sky's level in file units and the length of a sub so far tell of the sky's rate. */
export interface SkyFacts {
  readonly level: number;
  readonly sub: number | undefined;
}

/**
 * One line's wish from all options.
 * @throws LinewashError 'usage' where read noise is given without what tells the sky's rate.
 */
export const wishFor = (flags: LineFlags, name: string, sky: SkyFacts): LineWish => {
  const of = <T>(values: ByLine<T> | undefined): T | undefined => values?.[name] ?? values?.['*'];
  const read = of(flags.readNoise);
  const plain = { sub: of(flags.sub), overhead: of(flags.overhead), cap: of(flags.cap), weight: of(flags.weight) };
  if (read === undefined) return plain;
  const rate = of(flags.sky) ?? rateFrom(of(flags.gain), of(flags.pedestal), sky);
  if (rate !== undefined && rate >= 0) return { ...plain, camera: { sky: rate, read } };
  throw new LinewashError({
    tag: 'usage',
    message: `--read-noise says nothing of ${name} as long as the brightness of its sky is not known`,
    advice: `add --sky ${name}=ELECTRONS_A_SECOND, or --gain and --pedestal of a master that is a mean of its subs`,
  });
};

/** The noise that the CCD equation expects of a mean of subs; undefined where camera, gain or subs are not known. */
export const expectedFor = (
  flags: LineFlags,
  { name, sub, subs }: Exposure,
  { camera }: LineWish,
): number | undefined => {
  const gain = flags.gain?.[name] ?? flags.gain?.['*'];
  return camera && gain && sub && subs ? expectedNoise(camera, gain, sub, subs) : undefined;
};

const rateFrom = (gain: number | undefined, pedestal: number | undefined, { level, sub }: SkyFacts) =>
  gain === undefined || pedestal === undefined || sub === undefined ? undefined : ((level - pedestal) * gain) / sub;
