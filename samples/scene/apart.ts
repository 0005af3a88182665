import { tiffWriter } from '../../lib/formats/tiff/write.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import { type Frame, frameOf } from './frame.ts';
import { EMBERWING, type Line, type SceneOptions, type TargetName } from './options.ts';
import { drawStars, starsOf } from './stars.ts';
import { completed, TARGETS } from './targets.ts';

/** The part of Emberwing, about the cluster of hot stars, that is there without stars too; in pixels of the full frame. */
export const APART = { left: 480, top: 250, width: 220, height: 160 } as const;

/** Emberwing's part, at whatever size; the whole frame of another target. */
const cropOf = ({ target, width, height }: SceneOptions) => {
  if (target !== 'emberwing') return {};
  const [across, down] = [width / EMBERWING.width, height / EMBERWING.height];
  const [left, top] = [Math.round(APART.left * across), Math.round(APART.top * down)];
  return {
    left,
    top,
    right: width - left - Math.round(APART.width * across),
    bottom: height - top - Math.round(APART.height * down),
  };
};

/** A target without stars and with noise of the same kind, as if a program had taken the stars away without a trace. */
export const starlessOptions = (options: Partial<SceneOptions> = {}): SceneOptions => {
  const all = completed(options);
  const crop = cropOf(all);
  return { ...all, noiseSeed: all.noiseSeed + 2, stars: false, misfit: { S: { crop }, H: { crop }, O: { crop } } };
};

/** Emberwing's part without stars. */
export const STARLESS: SceneOptions = starlessOptions();

export const starlessName = (line: Line, target: TargetName = 'emberwing'): string => `${target}-starless-${line}.fits`;
export const starsName = (target: TargetName): string => `${target}-stars.tif`;
export const STARS_NAME = starsName('emberwing');

/** Natural logarithm by which a star's red and blue light depart from green for each step of blueness. */
const TINT = 0.35;
/** Light of a star's brightest pixel, in electrons per second, that appears at a third of full scale. */
const THIRD = 0.25;

/** The stars alone, where `starlessOptions` looks, in their own colours and stretched for a screen: interleaved, 8 bits. */
export const drawStarPicture = (options: Partial<SceneOptions> = {}) => {
  const all = completed(options);
  const frame: Frame = frameOf(all.width, all.height, { crop: cropOf(all) });
  const stars = starsOf(all.seed, all.height / 2, TARGETS[all.target].stars);
  const bands = [-TINT, 0, TINT].map((tint) => {
    const plane = new Float32Array(frame.width * frame.height);
    drawStars(plane, frame, stars, ({ rate, blue }) => rate * Math.exp(tint * blue), 2.5);
    return plane;
  });
  const picture = new Uint8Array(3 * frame.width * frame.height);
  for (let i = 0; i < picture.length; i++) {
    const light = bands[i % 3]![Math.floor(i / 3)]!;
    // light/(light + c) is a curve without an end: bright stars keep a colour about a white core.
    picture[i] = Math.floor((255 * light) / (light + 2 * THIRD) + 0.5);
  }
  return { width: frame.width, height: frame.height, picture };
};

/** The picture of the stars as the bytes of a TIFF file. */
export const starPictureFile = async (options: Partial<SceneOptions> = {}): Promise<Uint8Array<ArrayBuffer>> => {
  const sink = memorySink();
  const { width, height, picture } = drawStarPicture(options);
  const writer = await tiffWriter(sink, { width, height, bands: 3, sample: 'u8', space: 'srgb', note: '' });
  await writer.writeRows(picture);
  await writer.finish();
  await sink.close();
  return sink.bytes();
};
