import type { Channel } from '../measure/measure.ts';
import { planeSource } from '../plane/memory-plane.ts';
import { shrink } from '../plane/shrink.ts';
import type { StripOptions } from '../plane/strips.ts';
import { filled } from '../prepare/fill.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { unsmoothedChannels, withoutSpots } from '../recipe/settle/prepared.ts';
import { type FoundSpots, spotsOf } from '../recipe/settle/settle-prepared.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { type OpenLines, type Zeros, zerosOf } from './open-lines.ts';

/** Lines that copies are made of. */
type Copied = Pick<OpenLines, 'full' | 'small' | 'once'>;

/** Which copies. */
interface Copies {
  readonly names: readonly string[];
  readonly zeros: Zeros;
  readonly longest: number;
}

/**
 * Small copies of lines, their spots filled. That is done at full size: in a small copy a spot is no longer a pixel. Each copy
 * is made once.
 */
export const filledCopies = async (
  lines: Copied,
  { names, zeros, longest }: Copies,
  spots: FoundSpots,
  options: StripOptions,
): Promise<readonly Channel[]> => {
  const small = await lines.small(names, zeros, longest, options);
  return Promise.all(
    small.map((channel) => {
      const { name } = channel;
      const own = spots[name];
      if (own === undefined) return channel;
      return lines.once(JSON.stringify(['filled', name, zeros, own, longest]), async () => {
        const [line] = await lines.full([name], zeros, options);
        const plane = await shrink(filled(line!.source, own), longest, options);
        return { name, source: planeSource(line!.source.file, plane, line!.source.facts) };
      });
    }),
  );
};

/** Small copies of the channels of `unsmoothedChannels`. */
export const smallFilled = async (
  lines: Copied,
  recipe: Recipe,
  settled: Settled,
  longest: number,
  options: StripOptions,
): Promise<Channel[]> => {
  const copies = { names: neededChannels(recipe), zeros: zerosOf(recipe), longest };
  const from = await filledCopies(lines, copies, spotsOf(settled.channels), options);
  return unsmoothedChannels(withoutSpots(settled), from);
};
