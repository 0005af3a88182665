import { inputError } from '../../plane/errors.ts';
import type { Measured } from '../../plane/measured.ts';
import { findLevels, type Levels, type LevelsWish, shareScale } from '../../prepare/levels.ts';
import type { LevelsEntry, Recipe } from '../written/schema.ts';
import type { Findings } from './findings.ts';

const DEFAULT_LEVELS: LevelsWish = { black: { noise: 3 }, white: { percentile: 99.9 } };

/** The entry for a channel laid over the entry for `*`. */
export const wishFor = <T extends object>(entries: Readonly<Record<string, T>> | undefined, name: string): T =>
  ({ ...entries?.['*'], ...entries?.[name] }) as T;

/** Measurements with the level and spread that were found elsewhere in place of those after clipping. */
export const withFoundLevel = (m: Measured, findings: Findings): Measured => {
  const found = findings[m.name]?.background;
  return found === undefined ? m : { ...m, level: found.level, spread: found.noise };
};

/**
 * Background, black and white of all channels, brought to the footing that the recipe's scale asks for.
 * @throws LinewashError 'input' where the scale needs hours that a header does not state.
 */
export const settleLevels = (recipe: Recipe, channels: readonly Measured[], findings: Findings): Levels[] => {
  const own = channels.map((m) => ownLevels(recipe, m));
  const factors = factorsFor(recipe, channels, findings);
  return factors === undefined ? own : shareScale(own, factors);
};

const ownLevels = (recipe: Recipe, m: Measured): Levels => {
  const wish = wishFor<LevelsEntry>(recipe.levels, m.name);
  const model = recipe.background?.model ?? 'level';
  const given = recipe.background?.at?.[m.name] ?? recipe.background?.at?.['*'];
  const background = model === 'none' ? 0 : (given ?? m.level);
  return findLevels(m, background, {
    black: wish.black ?? DEFAULT_LEVELS.black,
    white: wish.white ?? DEFAULT_LEVELS.white,
  });
};

/** What each channel is multiplied with to stand on common footing; undefined where each has its own white point. */
const factorsFor = (
  { scale = 'each' }: Recipe,
  channels: readonly Measured[],
  findings: Findings,
): (number | undefined)[] | undefined => {
  if (scale === 'each') return undefined;
  const factorOf = (m: Measured): number | undefined => {
    if (m.flat) return undefined;
    if (scale === 'together') return 1;
    if (scale === 'noise') return 1 / (findings[m.name]?.pixelNoise ?? m.spread);
    if (scale === 'hours') return 1 / hoursOf(m);
    if (scale === 'fit' || 'mode' in scale) return findings[m.name]?.factor;
    return scale[m.name] ?? 1;
  };
  return channels.map(factorOf);
};

const hoursOf = ({ name, file, hours }: Measured): number => {
  if (hours !== undefined && hours > 0) return hours;
  throw inputError(
    `the header does not state the exposure of ${name}, which a scale by hours needs`,
    'state the scale as numbers in the recipe, or use a master whose header states its hours',
    file,
    { option: 'scale', line: name },
  );
};
