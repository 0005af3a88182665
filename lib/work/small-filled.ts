import type { Channel } from '../measure/measure.ts';
import { planeSource } from '../plane/memory-plane.ts';
import { shrink } from '../plane/shrink.ts';
import type { StripOptions } from '../plane/strips.ts';
import { filled } from '../prepare/fill.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { unsmoothedChannels } from '../recipe/settle/prepared.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { type OpenLines, zerosOf } from './open-lines.ts';

/**
 * Small copies of the channels of `unsmoothedChannels`, their spots filled. That is done at full size: in a small copy a spot is
 * no longer a pixel. Each copy is made once.
 */
export const smallFilled = async (
  lines: OpenLines,
  recipe: Recipe,
  settled: Settled,
  longest: number,
  options: StripOptions,
): Promise<Channel[]> => {
  const [names, zeros] = [neededChannels(recipe), zerosOf(recipe)];
  const small = await lines.small(names, zeros, longest, options);
  const spots = settled.channels.flatMap((channel) =>
    channel.spots ? [{ name: channel.name, spots: channel.spots }] : [],
  );
  const copies = await Promise.all(
    spots.map(({ name, spots }) =>
      lines.once(JSON.stringify(['filled', name, zeros, spots, longest]), async () => {
        const [line] = await lines.full([name], zeros, options);
        const plane = await shrink(filled(line!.source, spots), longest, options);
        return { name, source: planeSource(line!.source.file, plane, line!.source.facts) };
      }),
    ),
  );
  const from = small.map((channel) => copies.find(({ name }) => name === channel.name) ?? channel);
  return unsmoothedChannels({ channels: settled.channels.map(({ spots: _, ...channel }) => channel) }, from);
};
