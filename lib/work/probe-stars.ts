import type { Channel } from '../measure/measure.ts';
import { cropped } from '../plane/cropped.ts';
import type { Triple } from '../plane/linear.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { pictureInMemory, renderPicture } from '../render/picture.ts';
import type { OpenStars } from './open-stars.ts';

/** Numbers and sources of a picture's layer of stars. */
interface StarLayer {
  readonly settled: Settled;
  readonly sources: readonly PlaneSource[];
}

/**
 * The layer of stars of a mix: its own, or a picture of stars. Undefined where it has none, or the picture is another size
 * than the masters.
 */
export const starLayerOf = async (
  channels: readonly Channel[],
  settled: Settled,
  own: readonly PlaneSource[] | undefined,
  over: OpenStars | undefined,
  { stars }: Pick<Recipe, 'stars'>,
  options: StripOptions,
): Promise<StarLayer | undefined> => {
  if (own !== undefined) return { settled, sources: own };
  const { width, height } = channels[0]!.source;
  if (over === undefined || over.sources.some((source) => source.width !== width || source.height !== height))
    return undefined;
  return { settled: { ...settled, stars: await over.settled(stars, options) }, sources: over.sources };
};

/** Display values, 0…1, of one pixel of prepared channels with a layer of stars, by the kernel that writes pictures. */
export const valuesWithStars = async (
  channels: readonly Channel[],
  { settled, sources }: StarLayer,
  place: { readonly x: number; readonly y: number },
  options: StripOptions,
): Promise<Triple> => {
  const box = { ...place, width: 1, height: 1 };
  const form = { width: 1, height: 1, bands: 4, sample: 'f32' } as const;
  const { writer, picture } = pictureInMemory(form);
  const part = (source: PlaneSource) => cropped(source, box);
  const parts = channels.map(({ name, source }) => ({ name, source: part(source) }));
  await renderPicture(parts, settled, form, writer, options, sources.map(part));
  const [red, green, blue] = picture.data;
  return [red!, green!, blue!];
};
