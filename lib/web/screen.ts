import { quantise } from '../colour/encode.ts';
import { SPACES } from '../colour/spaces.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { type Picture, pictureInMemory, renderPicture } from '../render/picture.ts';
import type { Composition } from '../work/compose.ts';
import { breathe, handOver } from './wire/rpc.ts';

/** Pixels for a canvas: red, green, blue, alpha with 8 bits each, top first; alpha 0 where a line has no data. */
export interface ScreenPicture {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray<ArrayBuffer>;
  /** The canvas colour space that shows the numbers as they are meant. */
  readonly space: 'srgb' | 'display-p3';
  /** Milliseconds that the mixing took. */
  readonly took?: number | undefined;
}

/** For so long a call that is at work hears of no other: less than a frame, so that nobody waits for a picture that is not wanted. */
const DEAF_MS = 8;

/** Renders masters of any size, and stars over them, through the kernel that writes pictures, with 8 bits a colour. */
export const renderForScreen = async (
  { channels, stars }: Pick<Composition, 'channels'> & Partial<Pick<Composition, 'stars'>>,
  settled: Settled,
  signal: AbortSignal,
): Promise<ScreenPicture> => {
  const began = performance.now();
  const { width, height } = channels[0]!.source;
  const linear = settled.space === 'srgb-linear';
  const form = { width, height, bands: 4, sample: linear ? 'f32' : 'u8' } as const;
  const { writer, picture } = pictureInMemory(form);
  let heard = began;
  const breathing = {
    ...writer,
    async writeRows(rows: Parameters<typeof writer.writeRows>[0]) {
      await writer.writeRows(rows);
      if (performance.now() - heard < DEAF_MS) return;
      await breathe();
      heard = performance.now();
    },
  };
  await renderPicture(channels, settled, form, breathing, { signal }, stars);
  const data = linear
    ? encodeLinear(picture.data as Float32Array)
    : new Uint8ClampedArray(picture.data.buffer as ArrayBuffer);
  const space = settled.space === 'display-p3' ? 'display-p3' : 'srgb';
  return handOver({ width, height, data, space, took: performance.now() - began }, [data.buffer]);
};

/** A canvas has no linear space: linear light is shown with the transfer curve of sRGB. */
const encodeLinear = (values: Float32Array): Uint8ClampedArray<ArrayBuffer> => {
  const data = new Uint8ClampedArray(values.length);
  for (let i = 0; i < values.length; i++)
    data[i] = i % 4 === 3 ? values[i]! * 255 : quantise(SPACES.srgb.encode(values[i]!), 255);
  return data;
};

/** A picture of 8-bit RGB for a canvas, defined everywhere. */
export const forScreen = ({ width, height, data: rgb }: Picture): ScreenPicture => {
  const data = new Uint8ClampedArray(width * height * 4).fill(255);
  for (let i = 0; i < width * height; i++) for (let b = 0; b < 3; b++) data[4 * i + b] = rgb[3 * i + b]!;
  return { width, height, data, space: 'srgb' };
};
