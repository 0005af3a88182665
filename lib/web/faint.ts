import { faintMapPicture } from '../render/faint-picture.ts';
import { findFaint } from '../work/faint.ts';
import type { Faint, FaintWish } from '../work/faint-report.ts';
import type { Bench } from './bench.ts';
import { forScreen, type ScreenPicture } from './screen.ts';
import { type CallContext, handOver } from './wire/rpc.ts';
import { poolExecutor } from './workers/master-work.ts';

export interface FaintQuestion extends FaintWish {
  readonly line: string;
  /** The id of its master, or of all together. */
  readonly id: string;
}

/** What stands out of a line, with its map as a picture of the whole frame. */
export interface FaintView extends Omit<Faint, 'map'> {
  readonly picture: ScreenPicture;
}

/**
 * What stands out of the noise of a line, as `linewash faint` finds it.
 * @throws LinewashError 'input' where the line shows no noise or is too small, 'usage' where the wish makes no sense
 */
export const faintView = async (
  bench: Bench,
  { line, id, ...wish }: FaintQuestion,
  { signal, progress }: CallContext,
): Promise<FaintView> => {
  const [channel] = await bench.lines({ [line]: id }).full([line], 'undefined', { signal });
  const match = await bench.get(id).match?.('undefined', { signal });
  const executor = poolExecutor({ signal });
  const { map, ...found } = await findFaint({ ...channel!, match }, wish, { signal, progress, executor });
  const picture = forScreen(faintMapPicture({ map, ...found }));
  return handOver({ ...found, picture }, [picture.data.buffer]);
};
