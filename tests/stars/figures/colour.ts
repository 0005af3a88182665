import { rgbToOklab } from '../../../lib/colour/oklab.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import type { OutputRows } from '../../../lib/plane/picture.ts';
import { layeredChannels } from '../../../lib/recipe/settle/layered.ts';
import { unsmoothedChannels } from '../../../lib/recipe/settle/prepared.ts';
import type { Settled } from '../../../lib/recipe/settle/settled.ts';
import { neutralize } from '../../../lib/render/neutral.ts';
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

const lightAt = (picture: OutputRows, i: number): Float64Array =>
  Float64Array.from([0, 1, 2], (c) => SPACES.srgb.decode(picture[3 * i + c]! / 0xffff));

const chromaOf = (light: Float64Array): number => {
  const lab = new Float64Array(3);
  rgbToOklab(light, 0, SPACES.srgb, lab, 0);
  return Math.hypot(lab[1]!, lab[2]!);
};

const chromaAt = (picture: OutputRows, i: number): number => chromaOf(lightAt(picture, i));

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

/**
 * The mean chroma of listed peaks if what lies under each star were known: the mix of the truth without stars, made as bright
 * as the mix with them. What is left is the colour of the nebula that shines through.
 */
export const idealChroma = async (scene: Scene, { settled, list }: Taken, { plain }: Pictures, above: number) => {
  const { ownStars: _, ...numbers } = settled;
  const truth = await mixed({ ...scene, masters: scene.under }, numbers);
  const stars = scene.stars.filter((star) => star.snr >= above && isWhole(scene, star) && isListed(list!, star));
  const chroma = stars.map(({ x, y }) => {
    const i = Math.round(y) * scene.width + Math.round(x);
    const rgb = lightAt(plain, i);
    neutralize(rgb, lightAt(truth, i), 1, { amount: 1, tint: [1, 1, 1] }, SPACES.srgb);
    return chromaOf(rgb);
  });
  return chroma.reduce((a, b) => a + b, 0) / chroma.length;
};

/** Samples that differ where the mask holds no star. */
export const changedOutside = ({ plain, changed }: Pictures, mask: Float32Array): number => {
  let count = 0;
  for (let i = 0; i < mask.length; i++)
    for (let c = 0; c < 3; c++) if (mask[i] === 0 && plain[3 * i + c] !== changed[3 * i + c]) count++;
  return count;
};
