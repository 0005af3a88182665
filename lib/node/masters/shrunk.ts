import { planeSource } from '../../plane/memory-plane.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { shrink } from '../../render/shrink.ts';
import type { Composition } from '../../work/compose.ts';

/**
 * The same picture from smaller copies in memory: the settled numbers stay those of the full size, so that a small
 * picture looks as the large one does.
 * @param longest longest side in pixels; a picture that is small enough keeps its pixels
 */
export const shrunk = async (whole: Composition, longest: number, options: StripOptions): Promise<Composition> => {
  const copies = new Map<PlaneSource, PlaneSource>();
  const small = async (source: PlaneSource): Promise<PlaneSource> => {
    const copy = copies.get(source) ?? planeSource(source.file, await shrink(source, longest, options));
    copies.set(source, copy);
    return copy;
  };
  const channels: Composition['channels'][number][] = [];
  for (const { name, source } of whole.channels) channels.push({ name, source: await small(source) });
  const stars: PlaneSource[] = [];
  for (const source of whole.stars ?? []) stars.push(await small(source));
  return { ...whole, channels, stars: whole.stars && stars };
};
