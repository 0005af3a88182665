import { type Channel, measureChannels } from '../../measure/measure.ts';
import { inputError } from '../../plane/errors.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { measureBlocks } from '../../prepare/background/blocks.ts';
import { pixelNoise } from '../../prepare/background/pixel-noise.ts';
import { withoutSurface } from '../../prepare/background/surface.ts';
import { fitContinuum, starLight } from '../../prepare/continuum.ts';
import type { Recipe } from '../written/schema.ts';
import type { Notes } from './notes.ts';
import { usedChannels } from './settle.ts';

/**
 * Finds what is to be taken off each line that the recipe frees from its continuum: the broadband picture's level, and
 * its share in the line where that is not given.
 * @throws LinewashError 'input' where the share cannot be found for want of stars.
 */
export const findContinua = async (
  recipe: Recipe,
  channels: readonly Channel[],
  notes: Notes,
  options: StripOptions,
): Promise<void> => {
  const used = usedChannels(recipe);
  for (const [name, { from, k = 'fit' }] of Object.entries(recipe.continuum ?? {})) {
    if (!used.includes(name)) continue;
    const even = (channel: string) => {
      const { source } = channels.find((c) => c.name === channel)!;
      const surface = notes.findings[channel]?.surface;
      return surface ? withoutSurface(source, surface) : source;
    };
    const [broad, line] = [even(from), even(name)];
    const measured = (await measureChannels([{ name: from, source: broad }], options))[0]!;
    const background = measured.level;
    const share = typeof k === 'number' ? k : await findShare({ name, broad, line }, measured, notes, options);
    const surface = notes.findings[from]?.surface;
    notes.add(name, { continuum: { from, k: share, background, ...(surface && { surface }) } });
  }
};

const findShare = async (
  { name, broad, line }: { name: string; broad: Channel['source']; line: Channel['source'] },
  { level, max }: { level: number; max: number },
  notes: Notes,
  options: StripOptions,
): Promise<number> => {
  const noise = pixelNoise(await measureBlocks(broad, options));
  const lineNoise = pixelNoise(await measureBlocks(line, options));
  const stars = await starLight(line, broad, { level, pixelNoise: noise, max }, options);
  const fit = fitContinuum(stars, lineNoise / noise || 1);
  if (fit === undefined)
    throw inputError(
      `too few clear stars (${stars.length}) to find how much of it is in ${name}`,
      'state the share in the recipe',
      broad.file,
      { option: 'share', line: name },
    );
  notes.warnings.push(
    `${name}: ${Number(fit.k.toPrecision(4))} of ${broad.file} is subtracted, found from ${fit.stars} stars`,
  );
  return fit.k;
};
