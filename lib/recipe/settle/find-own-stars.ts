import type { Channel } from '../../measure/measure.ts';
import type { Measured } from '../../plane/measured.ts';
import type { StripOptions } from '../../plane/strips.ts';
import type { LineNoise } from '../../smooth/noise-model.ts';
import { findStars } from '../../stars/find/find-stars.ts';
import { type FoundStars, packStars } from '../../stars/star-list.ts';
import type { Recipe } from '../written/schema.ts';
import { sha256 } from '../written/sha256.ts';
import type { Notes } from './notes.ts';

/** A line without noise of its own still needs a scale to tell stars by: this part of its range. */
const LEAST_NOISE = 1e-5;

/** Finds the stars of prepared lines in use. Noise that the recipe states comes before what was found. */
export const findOwnStars = async (
  { smooth }: Pick<Recipe, 'smooth'>,
  prepared: readonly Channel[],
  measured: readonly Measured[],
  notes: Notes,
  options: StripOptions,
): Promise<FoundStars> => {
  const sources = prepared.map(({ name, source }) => {
    const line = measured.find((one) => one.name === name)!;
    const noise: LineNoise = smooth?.noise?.[name] ??
      notes.findings[name]?.lineNoise ?? {
        level: line.level,
        // Of a line without any range, any scale will do.
        variance: (LEAST_NOISE * (line.max - line.min || 1)) ** 2,
        perCount: 0,
        neighbours: 0,
      };
    return { name, source, noise, full: line.saturated > 0 ? line.max : undefined };
  });
  const list = packStars(await findStars(sources, options));
  return { ...list, hash: sha256(new TextEncoder().encode(list.data)) };
};
