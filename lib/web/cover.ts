import type { Box } from '../plane/box.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { findCrop } from '../recipe/settle/find-crop.ts';
import { preparedChannels } from '../recipe/settle/prepared.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { type Bench, zerosOf } from './bench.ts';
import type { Lines } from './measure-lines.ts';
import { plainOf } from './plain.ts';
import type { CallContext } from './wire/rpc.ts';

/** What a crop would leave. */
export interface Cover {
  /** The largest rectangle that all lines of the mix cover; absent where nothing is missing at the border. */
  readonly box?: Box | undefined;
  readonly warnings: readonly string[];
}

/**
 * What a mix would be cropped to.
 * @throws LinewashError 'input' where no pixel has data in all lines.
 */
export const coverOf = async (
  bench: Bench,
  { lines, recipe }: { readonly lines: Lines; readonly recipe: WrittenRecipe },
  { signal }: CallContext,
): Promise<Cover> => {
  const plain = await plainOf(recipe);
  const { settled } = await bench.settle(lines, plain, { signal });
  const channels = await bench.full(lines, neededChannels(plain), zerosOf(plain), { signal });
  return (await findCrop(preparedChannels(settled, channels), { signal })) ?? { warnings: [] };
};
