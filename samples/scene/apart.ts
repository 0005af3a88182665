import { tiffWriter } from '../../lib/formats/tiff/write.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import { masterFile } from './file.ts';
import { type Frame, frameOf } from './frame.ts';
import { EMBERWING, LINES, type Line, type SceneOptions } from './options.ts';
import { drawStars, starsOf } from './stars.ts';
import { sceneTruth } from './truth.ts';

/** The part of the scene, about the cluster of hot stars, that is there without stars too; in pixels of the full frame. */
export const APART = { left: 480, top: 250, width: 220, height: 160 } as const;

const { width, height } = EMBERWING;
const crop = {
  left: APART.left,
  top: APART.top,
  right: width - APART.left - APART.width,
  bottom: height - APART.top - APART.height,
};

/** The part without stars and with noise of the same kind, as if a program had taken the stars away without a trace. */
export const STARLESS: SceneOptions = {
  ...EMBERWING,
  noiseSeed: 3,
  stars: false,
  misfit: { S: { crop }, H: { crop }, O: { crop } },
};

export const starlessName = (line: Line): string => `emberwing-starless-${line}.fits`;
export const STARS_NAME = 'emberwing-stars.tif';

/** The masters of the part without stars, by line, as the bytes of FITS files. */
export const starlessFiles = async (): Promise<Record<Line, Uint8Array<ArrayBuffer>>> => {
  const truth = sceneTruth(STARLESS);
  const files = await Promise.all(LINES.map((line) => masterFile(truth[line], STARLESS.noiseSeed)));
  return Object.fromEntries(LINES.map((line, i) => [line, files[i]])) as Record<Line, Uint8Array<ArrayBuffer>>;
};

/** Natural logarithm by which a star's red and blue light depart from green for each step of blueness. */
const TINT = 0.35;
/** Light of a star's brightest pixel, in electrons per second, that appears at a third of full scale. */
const THIRD = 0.25;

/** The stars of the part alone as a picture in their own colours, already stretched for a screen: interleaved, 8 bits. */
export const drawStarPicture = (): Uint8Array => {
  const frame: Frame = frameOf(width, height, { crop });
  const stars = starsOf(EMBERWING.seed, height / 2);
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
  return picture;
};

/** The picture of the stars as the bytes of a TIFF file. */
export const starPictureFile = async (): Promise<Uint8Array<ArrayBuffer>> => {
  const sink = memorySink();
  const info = { width: APART.width, height: APART.height, bands: 3, sample: 'u8', space: 'srgb', note: '' } as const;
  const writer = await tiffWriter(sink, info);
  await writer.writeRows(drawStarPicture());
  await writer.finish();
  await sink.close();
  return sink.bytes();
};
