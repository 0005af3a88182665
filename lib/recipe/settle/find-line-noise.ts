import type { Channel } from '../../measure/measure.ts';
import type { StripOptions } from '../../plane/strips.ts';
import type { Recipe } from '../written/schema.ts';
import type { Notes } from './notes.ts';
import { linesWithNoise } from './settle-smooth.ts';

/** Finds the noise of the prepared lines that smoothing needs, where the recipe does not state it. */
export const findLineNoise = async (
  recipe: Recipe,
  prepared: readonly Channel[],
  notes: Notes,
  options: StripOptions,
): Promise<void> => {
  const needed = linesWithNoise(
    recipe,
    prepared.map(({ name }) => name),
  );
  for (const { name, source } of prepared) {
    if (!needed.includes(name) || recipe.smooth?.noise?.[name] !== undefined) continue;
    const { findNoise } = await import('../../smooth/find-noise.ts');
    const lineNoise = await findNoise(source, options);
    if (lineNoise) notes.add(name, { lineNoise });
  }
};
