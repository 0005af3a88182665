import { rgbToOklab } from '../../../lib/colour/oklab.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import type { OutputRows } from '../../../lib/plane/picture.ts';
import { layeredChannels, unsmoothedChannels } from '../../../lib/recipe/settle/prepared.ts';
import type { Settled } from '../../../lib/recipe/settle/settled.ts';
import { pictureInMemory, renderPicture } from '../../../lib/render/picture.ts';
import type { StarList } from '../../../lib/stars/star-list.ts';
import { channelsOf, isListed, isWhole, type Taken } from './found.ts';
import type { Scene } from './scenes.ts';

/** The picture of a scene, and the same with its stars as they are. */
export interface Pictures {
  readonly plain: OutputRows;
  readonly changed: OutputRows;
}

const mixed = async (scene: Scene, settled: Settled): Promise<OutputRows> => {
  const { width, height } = scene;
  const info = { width, height, sample: 'u16', bands: 3 } as const;
  const { writer, picture } = pictureInMemory(info);
  const { channels, stars } = layeredChannels(settled, unsmoothedChannels(settled, channelsOf(scene)));
  await renderPicture(channels, settled, info, writer, {}, stars);
  return picture.data;
};

/** @param size of the stars in the changed picture: see the recipe */
export const picturesOf = async (scene: Scene, { settled }: Taken, size = 1): Promise<Pictures> => {
  const { ownStars, ...plain } = settled;
  return {
    plain: await mixed(scene, plain),
    changed: await mixed(scene, { ...settled, ownStars: { ...ownStars!, size } }),
  };
};

const chromaAt = (picture: OutputRows, i: number): number => {
  const lab = Float64Array.from([0, 1, 2], (c) => SPACES.srgb.decode(picture[3 * i + c]! / 0xffff));
  rgbToOklab(lab, 0, SPACES.srgb, lab, 0);
  return Math.hypot(lab[1]!, lab[2]!);
};

/** OKLab chroma at the peaks of drawn stars above a brightness: of all, and the mean of those that a list holds. */
export const chromaOfPeaks = (scene: Scene, picture: OutputRows, list: StarList, above: number) => {
  const stars = scene.stars
    .filter((star) => star.snr >= above && isWhole(scene, star))
    .map((star) => ({
      chroma: chromaAt(picture, Math.round(star.y) * scene.width + Math.round(star.x)),
      listed: isListed(list, star),
    }));
  const meanOf = (some: typeof stars) => some.reduce((sum, { chroma }) => sum + chroma, 0) / some.length;
  const rising = stars.map(({ chroma }) => chroma).sort((a, b) => a - b);
  return {
    mean: meanOf(stars),
    listed: meanOf(stars.filter(({ listed }) => listed)),
    median: rising[rising.length >> 1]!,
  };
};

/** Samples that differ where the mask holds no star. */
export const changedOutside = ({ plain, changed }: Pictures, mask: Float32Array): number => {
  let count = 0;
  for (let i = 0; i < mask.length; i++)
    for (let c = 0; c < 3; c++) if (mask[i] === 0 && plain[3 * i + c] !== changed[3 * i + c]) count++;
  return count;
};
