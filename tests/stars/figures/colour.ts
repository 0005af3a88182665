import { rgbToOklab } from '../../../lib/colour/oklab.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import type { OutputRows } from '../../../lib/plane/picture.ts';
import { layeredChannels, unsmoothedChannels } from '../../../lib/recipe/settle/prepared.ts';
import type { Settled } from '../../../lib/recipe/settle/settled.ts';
import { pictureInMemory, renderPicture } from '../../../lib/render/picture.ts';
import { channelsOf, type Taken } from './found.ts';
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

/** OKLab chroma at the peaks of drawn stars above a brightness: the mean, and that of 90 %. */
export const chromaOfPeaks = ({ stars, masters, width }: Scene, picture: OutputRows, above: number) => {
  const chroma = stars.flatMap(({ x, y, snr }) => {
    const i = Math.round(y) * width + Math.round(x);
    return snr >= above && masters.every((line) => !Number.isNaN(line[i]!)) ? chromaAt(picture, i) : [];
  });
  const rising = chroma.sort((a, b) => a - b);
  return {
    mean: rising.reduce((a, b) => a + b, 0) / rising.length,
    most: rising[Math.floor(0.9 * rising.length)]!,
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
