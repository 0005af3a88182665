import type { PlaneSource } from '../plane/plane.ts';
import { median } from '../plane/robust.ts';
import { samplesFor } from '../plane/strips.ts';

interface Spread {
  readonly fullScale: number | undefined;
  readonly max: number;
  readonly median: number;
  readonly percentiles: Readonly<Record<string, number>>;
}

/** The darkest hundredth of a frame that is lit throughout lies above this share of its median. */
const LIT = 1 / 3;
/** Differences between neighbours grow at least so many times from the dark quarter of such a frame to the bright one. */
const GROWTH = 1.2;

/**
 * Whether a master looks display-encoded: its values fill their range, and that is not because nebula fills the frame.
 * A linear master filled by nebula differs from a stretched picture in two ways. Nothing in it is dark, while a curve is
 * laid so that the background lies near black. And what neighbours differ by, noise and detail alike, grows with the
 * light, while a curve that lifts the background lifts the noise there most. It is a hint: pictures that a curve lifted
 * by less than twice, and stretched ones of nebula that fills the frame, can pass as linear.
 */
export const looksStretched = async (source: PlaneSource, spread: Spread): Promise<boolean> => {
  if (!fillsRange(spread)) return false;
  const litThroughout = spread.percentiles['1']! > LIT * spread.median;
  return !litThroughout || !((await growthOfDifferences(source)) > GROWTH);
};

/**
 * Median above 5 % of the full range, and the middle 98 % of the values over more than 30 % of it (common practice).
 * Linear masters with sky in them hold a narrow peak near the bottom. Floats beyond 1 are in units of their own and have
 * no full range.
 */
export const fillsRange = ({ fullScale, max, median: middle, percentiles }: Spread): boolean => {
  const range = fullScale ?? (max <= 1.001 ? 1 : Number.POSITIVE_INFINITY);
  const spread = percentiles['99']! - percentiles['1']!;
  return middle > 0.05 * range && spread > 0.3 * range;
};

/** Places along the height at which three rows are read, and pixels looked at in each. */
const [PLACES, ALONG] = [96, 512];

/**
 * Median difference of diagonal neighbours where the picture is bright (75…95 % of its levels) over that where it is dark
 * (5…25 %). The level comes from four other neighbours, so that noise does not sort itself. NaN where the dark has none.
 */
export const growthOfDifferences = async (source: PlaneSource): Promise<number> => {
  const { width, height } = source;
  const found: { level: number; difference: number }[] = [];
  const rows = samplesFor(source, 3 * width);
  const step = Math.max(1, Math.floor((height - 2) / PLACES));
  const across = Math.max(1, Math.floor(width / ALONG));
  for (let y = 0; y + 3 <= height; y += step) {
    await source.readRows(y, 3, rows);
    for (let x = width + 1; x < 2 * width - 1; x += across) {
      const level = (rows[x - width]! + rows[x - 1]! + rows[x + 1]! + rows[x + width]!) / 4;
      const difference = Math.abs(rows[x]! - rows[x + width + 1]!);
      if (level + difference - level - difference === 0) found.push({ level, difference });
    }
  }
  found.sort((a, b) => a.level - b.level);
  const typical = (from: number, to: number) =>
    median(found.slice(Math.floor(from * found.length), Math.floor(to * found.length)).map((f) => f.difference));
  const dark = typical(0.05, 0.25);
  return dark > 0 ? typical(0.75, 0.95) / dark : Number.NaN;
};
