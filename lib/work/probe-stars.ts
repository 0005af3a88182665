import type { Channel } from '../measure/measure.ts';
import { cropped } from '../plane/cropped.ts';
import type { Triple } from '../plane/linear.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { pictureInMemory, renderPicture } from '../render/picture.ts';
import type { OpenStars } from './open-stars.ts';

/**
 * Display values, 0…1, of one pixel of prepared channels with the stars laid over, by the kernel that writes pictures.
 * Undefined where the stars are another size than the masters: the picture has none then.
 */
export const valuesWithStars = async (
  channels: readonly Channel[],
  settled: Settled,
  stars: OpenStars,
  wish: Recipe['stars'],
  place: { readonly x: number; readonly y: number },
  options: StripOptions,
): Promise<Triple | undefined> => {
  const { width, height } = channels[0]!.source;
  if (stars.sources.some((source) => source.width !== width || source.height !== height)) return undefined;
  const box = { ...place, width: 1, height: 1 };
  const form = { width: 1, height: 1, bands: 4, sample: 'f32' } as const;
  const { writer, picture } = pictureInMemory(form);
  const parts = channels.map(({ name, source }) => ({ name, source: cropped(source, box) }));
  const over = stars.sources.map((source) => cropped(source, box));
  const numbers = { ...settled, stars: await stars.settled(wish, options) };
  await renderPicture(parts, numbers, form, writer, options, over);
  const [red, green, blue] = picture.data;
  return [red!, green!, blue!];
};
