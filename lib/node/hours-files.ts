import { type ByLine, underLineNames } from '../hours/line-names.ts';
import { usedChannels } from '../recipe/settle/settle.ts';
import { plainRecipe } from '../recipe/written/plain.ts';
import { hoursOfMix, type MixHours, type MixHoursWish } from '../work/hours.ts';
import { type LedgerOptions, ledgerFiles } from './ledger-files.ts';

/**
 * A recipe, the masters it is applied to, and what is asked about their hours. Lines may be named as headers spell them;
 * `*` stands for all lines without values of their own.
 */
export interface HoursOptions extends LedgerOptions, MixHoursWish {}

/**
 * What a mix costs in noise, and where the next hours do most good. All of it is an estimate.
 * @throws LinewashError 'input', 'format' or 'recipe' naming the file at fault, 'usage' where wishes contradict one another
 */
export const hoursFiles = async (options: HoursOptions): Promise<MixHours> => {
  const { recipe, inputs, time, box, outline, background, apart, signal, progress, ...wish } = options;
  const plain = await plainRecipe(recipe);
  const named = <T>(option: string, values: ByLine<T> | undefined) =>
    values && underLineNames(option, values, usedChannels(plain));
  const asked = { ...wish, lines: named('lines', wish.lines) };
  const look = { time: named('time', time), box, outline, background, apart, signal, progress };
  return hoursOfMix(await ledgerFiles({ recipe: plain, inputs, ...look }), asked);
};
