import { inputError } from '../../plane/errors.ts';
import type { Measured } from '../../plane/measured.ts';
import { pixelNoise } from '../../prepare/background/pixel-noise.ts';
import { robustLine } from '../../prepare/scale/line.ts';
import { pairedLevels } from '../../prepare/scale/pairs.ts';
import { isFit } from '../written/facts-of.ts';
import type { Recipe } from '../written/schema.ts';
import type { Grids } from './grids.ts';
import type { Notes } from './notes.ts';

/**
 * Finds what the scales `fit` and `noise`, and the lightness `least-noise`, need beside plain statistics.
 * `fit`: the slope of the reference line's block levels against the channel's, by a robust line with errors in both.
 * @throws LinewashError 'input' where the reference has no weight in the matrix, or a channel does not rise with it.
 */
export const findFactors = async (
  recipe: Recipe,
  measured: readonly Measured[],
  grids: Grids,
  notes: Notes,
): Promise<void> => {
  const { scale } = recipe;
  if (scale === 'noise' || recipe.lightness === 'least-noise')
    for (const { name, flat } of measured) if (!flat) notes.add(name, { pixelNoise: pixelNoise(await grids(name)) });
  const fits = scale === 'fit' || (typeof scale === 'object' && isFit(scale));
  if (!fits) return;
  const wanted = typeof scale === 'object' ? scale.to : undefined;
  const reference = measured.find(({ name, flat }) => (wanted === undefined ? !flat : name === wanted));
  if (reference === undefined)
    throw inputError(
      wanted === undefined
        ? 'no channel varies: there is nothing to fit'
        : `${wanted} has no weight: nothing can be fitted to it`,
      'choose a reference line that the matrix uses',
    );
  for (const m of measured) if (!m.flat) notes.add(m.name, { factor: await factorTo(reference, m, grids) });
};

const factorTo = async (reference: Measured, m: Measured, grids: Grids): Promise<number> => {
  if (m.name === reference.name) return 1;
  const [to, own] = [await grids(reference.name), await grids(m.name)];
  const { x, y } = pairedLevels(own, to);
  const ratio = (pixelNoise(to) / pixelNoise(own)) ** 2;
  const { slope } = robustLine(x, y, ratio > 0 && Number.isFinite(ratio) ? ratio : 1);
  if (slope > 0 && Number.isFinite(slope)) return slope;
  throw inputError(
    `${m.name} does not rise with ${reference.name}: no scale can be fitted`,
    'let each line have its own scale, or state the scale as numbers',
    m.file,
  );
};
