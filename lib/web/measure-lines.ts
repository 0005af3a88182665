import { type Channel, measureChannels } from '../measure/measure.ts';
import { throwIfCancelled } from '../plane/errors.ts';
import type { Measured } from '../plane/measured.ts';
import { memoAsync } from '../plane/memo.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Zeros } from '../work/open-lines.ts';
import { poolExecutor } from './workers/master-work.ts';

/** Which open master stands for which line: line → id. */
export type Lines = Readonly<Record<string, string>>;

export type MeasureLines = (
  lines: Lines,
  names: readonly string[],
  zeros: Zeros,
  extra: readonly number[],
  options?: StripOptions,
) => Promise<Measured[]>;

/**
 * Measures lines at full size over their common coverage and remembers the result for as long as the masters are the
 * same. Where all open lines cover the whole picture, every choice among them has the same coverage, and so the same
 * numbers: they are then measured once for all recipes.
 */
export const lineMeasurer = (
  full: (lines: Lines, names: readonly string[], zeros: Zeros, options?: StripOptions) => Promise<readonly Channel[]>,
): MeasureLines => {
  const measured = memoAsync(async (key, options) => {
    const { lines, zeros, extra } = JSON.parse(key);
    const channels = await full(lines, Object.keys(lines), zeros, options);
    return measureChannels(channels, { ...options, percentiles: extra, executor: poolExecutor(options) });
  });
  /** In whatever order the lines are named, they are measured in one. */
  const measureSet: MeasureLines = async (lines, names, zeros, extra, options = {}) => {
    const chosen = Object.fromEntries([...names].sort().map((name) => [name, lines[name]]));
    return pick(await measured(JSON.stringify({ lines: chosen, zeros, extra }), options), names);
  };
  return async (lines, names, zeros, extra, options = {}) => {
    const all = Object.keys(lines);
    if (names.length < all.length && names.every((name) => all.includes(name))) {
      // What is wrong with a line that is not asked for is no concern here.
      const whole = await measureSet(lines, all, zeros, extra, options).catch(() => undefined);
      throwIfCancelled(options.signal);
      if (whole?.every((m) => m.undefined === 0)) return pick(whole, names);
    }
    return measureSet(lines, names, zeros, extra, options);
  };
};

const pick = (measured: readonly Measured[], names: readonly string[]): Measured[] =>
  names.map((name) => measured.find((m) => m.name === name)!);
