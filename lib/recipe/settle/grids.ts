import { type Channel, findUncovered } from '../../measure/measure.ts';
import type { BlockGrid } from '../../plane/block-grid.ts';
import type { StripOptions } from '../../plane/strips.ts';

/** Levels of blocks of the prepared channels over their common coverage, measured when first asked for. */
export type Grids = (name: string) => Promise<BlockGrid>;

/** Grids of prepared channels, each measured once. */
export const gridsOf = (prepared: readonly Channel[], options: StripOptions): Grids => {
  const known = new Map<string, Promise<BlockGrid>>();
  let uncovered: ReturnType<typeof findUncovered> | undefined;
  const measure = async (name: string): Promise<BlockGrid> => {
    uncovered ??= findUncovered(prepared, options);
    const { mask } = await uncovered;
    const { source } = prepared.find((channel) => channel.name === name)!;
    const { measureBlocks } = await import('../../prepare/background/blocks.ts');
    return measureBlocks(source, { ...options, mask });
  };
  return (name) => {
    const grid = known.get(name) ?? measure(name);
    known.set(name, grid);
    return grid;
  };
};
