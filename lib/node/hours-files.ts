import { type ByLine, underLineNames } from '../hours/line-names.ts';
import { usedChannels } from '../recipe/settle/settle.ts';
import { plainRecipe } from '../recipe/written/plain.ts';
import type { TallyTarget } from '../tally/tally.ts';
import { hoursOfMix, type MixHours, type MixHoursWish } from '../work/hours.ts';
import { type LedgerOptions, ledgerFiles } from './ledger-files.ts';
import { readTally } from './tally/read-tally.ts';

/**
 * A recipe, the masters it is applied to, and what is asked about their hours. Lines may be named as headers spell them;
 * `*` stands for all lines without values of their own.
 */
export interface HoursOptions extends Omit<LedgerOptions, 'tally'>, MixHoursWish {
  /** Hours so far where headers state none: a tally, its file in JSON, or a folder of sub-exposures to count. */
  readonly tally?: string | { readonly targets: readonly TallyTarget[] } | undefined;
  /** The target of the tally that is meant; by default that of the masters' headers, else the only one. */
  readonly target?: string | undefined;
}

/**
 * What a mix costs in noise, and where the next hours do most good. All of it is an estimate.
 * @throws LinewashError 'input', 'format' or 'recipe' naming the file at fault, 'usage' where wishes contradict one another
 */
export const hoursFiles = async (options: HoursOptions): Promise<MixHours> => {
  const {
    recipe,
    inputs,
    time,
    tally: given,
    target,
    box,
    outline,
    background,
    apart,
    signal,
    progress,
    ...wish
  } = options;
  const plain = await plainRecipe(recipe);
  const named = <T>(option: string, values: ByLine<T> | undefined) =>
    values && underLineNames(option, values, usedChannels(plain));
  const asked = { ...wish, lines: named('lines', wish.lines) };
  const counted = typeof given === 'string' ? await readTally(given, signal) : given && { ...given, notes: [] };
  const tally = counted && { targets: counted.targets, target };
  const look = { time: named('time', time), tally, box, outline, background, apart, signal, progress };
  const found = hoursOfMix(await ledgerFiles({ recipe: plain, inputs, ...look }), asked);
  return { ...found, warnings: [...(counted?.notes ?? []), ...found.warnings] };
};
