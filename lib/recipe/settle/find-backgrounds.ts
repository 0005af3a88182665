import type { Channel } from '../../measure/measure.ts';
import { boxOf } from '../../plane/box.ts';
import type { Measured } from '../../plane/measured.ts';
import { type Background, boxBackground, darkBlocks } from '../../prepare/background/level.ts';
import { pixelNoise } from '../../prepare/background/pixel-noise.ts';
import type { Recipe } from '../written/schema.ts';
import type { Grids } from './grids.ts';
import type { Notes } from './notes.ts';

/** The clipped scatter is this many times the noise from pixel to pixel before a nebula can be said to fill the frame. */
const STRUCTURE = 4;
/** The clipped level lies this far up from the darkest places to white in a frame that a nebula fills. */
const RAISED = 0.15;

/**
 * Finds levels where the recipe wants them from dark blocks or a box. Where it does not say, and in some channel the
 * clipped level lies high in the nebula and not in the sky, all channels take theirs from dark blocks, with a warning.
 */
export const findBackgrounds = async (
  recipe: Recipe,
  channels: readonly Channel[],
  measured: readonly Measured[],
  grids: Grids,
  notes: Notes,
): Promise<void> => {
  const from = recipe.background?.from;
  if (from === 'clip') return;
  if (Array.isArray(from)) {
    for (const { name, source } of channels) notes.add(name, { background: await boxBackground(source, boxOf(from)) });
    return;
  }
  const filled = from === undefined ? await framesFilled(measured, grids) : [];
  if (from === undefined && filled.length === 0) return;
  for (const { name, flat } of measured) {
    const background = flat ? undefined : darkBlocks(await grids(name));
    if (background !== undefined) notes.add(name, { background });
  }
  if (filled.length > 0)
    notes.warnings.push(
      `${filled.join(' and ')} ${filled.length > 1 ? 'fill' : 'fills'} the frame with nebula: the background is taken from ` +
        'the darkest blocks. If that is wrong, take it from all pixels (clip) or from a box of sky',
    );
};

/** The channels whose clipped level lies in the nebula. */
const framesFilled = async (measured: readonly Measured[], grids: Grids): Promise<string[]> => {
  const names: string[] = [];
  for (const m of measured) {
    if (m.flat || m.stretched || !mayBeRaised(m)) continue;
    const grid = await grids(m.name);
    const dark = darkBlocks(grid);
    if (dark !== undefined && m.spread > STRUCTURE * pixelNoise(grid) && shareFrom(dark, m) > RAISED)
      names.push(m.name);
  }
  return names;
};

/** A rough answer without another look at the pixels; most fields of sky end here. */
const mayBeRaised = (m: Measured): boolean => shareFrom({ level: m.percentiles['1']!, noise: 0 }, m) > RAISED / 1.5;

const shareFrom = ({ level }: Background, m: Measured): number => (m.level - level) / (m.percentiles['99.9']! - level);
