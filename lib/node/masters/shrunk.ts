import { planeSource } from '../../plane/memory-plane.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { shrinkTogether } from '../../plane/shrink.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { bandRows } from '../../render/picture.ts';
import type { Composition } from '../../work/compose.ts';

/**
 * The same picture from smaller copies in memory: the settled numbers stay those of the full size, so that a small
 * picture looks as the large one does.
 * @param longest longest side in pixels; a picture that is small enough keeps its pixels
 */
export const shrunk = async (whole: Composition, longest: number, options: StripOptions): Promise<Composition> => {
  const sources = [...new Set([...whole.channels.map(({ source }) => source), ...(whole.stars ?? [])])];
  // Together, so that what they are computed from is computed once.
  const planes = await shrinkTogether(sources, longest, bandRows(sources[0]!.width, sources), options);
  const copies = new Map(sources.map((source, k) => [source, planeSource(source.file, planes[k]!)]));
  const small = (source: PlaneSource): PlaneSource => copies.get(source)!;
  return {
    ...whole,
    channels: whole.channels.map(({ name, source }) => ({ name, source: small(source) })),
    stars: whole.stars?.map(small),
  };
};
