import { isMarked, type Mask } from '../plane/mask.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { samplesFor } from '../plane/strips.ts';

/** The first counted value from the middle of the picture on: near enough to most others to sum about it. 0 for none. */
export const someValue = async (source: PlaneSource, mask: Mask | undefined): Promise<number> => {
  const row = samplesFor(source, source.width);
  for (let i = 0; i < source.height; i++) {
    const y = (Math.floor(source.height / 2) + i) % source.height;
    await source.readRows(y, 1, row);
    for (let x = 0; x < source.width; x++)
      if (Number.isFinite(row[x]) && !(mask && isMarked(mask, x, y))) return row[x]!;
  }
  return 0;
};
