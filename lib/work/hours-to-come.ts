import { type NoiseShares, sharesAfter } from '../hours/noise-shares.ts';
import { inputError } from '../plane/errors.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { NoteEstimate } from '../recipe/share/note.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { hoursOfMix } from './hours.ts';
import { noiseOfMix } from './noise.ts';
import type { OpenLines } from './open-lines.ts';

/** What a picture after more hours rests on. */
export interface ComingHours {
  readonly shares: NoiseShares;
  readonly estimate: NoteEstimate;
  readonly warnings: readonly string[];
}

/**
 * Splits hours to come as the planner does for the least noise of luminance at the background, and says what they leave
 * of the noise of each line.
 * @param wish hours on the clock, and hours so far by line where headers do not state them
 * @throws LinewashError 'input' where the hours of a line are not known.
 */
export const hoursToCome = async (
  lines: OpenLines,
  recipe: Recipe,
  { after, time }: { readonly after: number; readonly time?: Readonly<Record<string, number>> | undefined },
  options: StripOptions = {},
): Promise<ComingHours> => {
  const noise = await noiseOfMix(lines, recipe, { time }, options);
  const { advice } = hoursOfMix({ ...noise, settled: noise.mix.settled }, { more: after, goal: 'luminance' });
  const allocation = advice?.allocation;
  if (allocation === undefined) throw inputError('the hours so far are not known', 'give them');
  const added = Object.fromEntries(allocation.shares.map((one) => [one.name, Number(one.added.toFixed(3))]));
  const words = Object.entries(added).map(([name, hours]) => `${name} ${Number(hours.toFixed(2))} h`);
  return {
    shares: sharesAfter(allocation.shares, noise.exposures),
    estimate: { what: 'an estimate: nobody has taken this picture', after, added },
    warnings: [
      `an estimate, no picture that was taken: noise as ${Number(after.toFixed(2))} h more would leave it (${words.join(', ')}); ` +
        'detail that the noise hides does not appear',
    ],
  };
};
