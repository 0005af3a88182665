import { clampUnit, quantise, SAMPLE_FULL } from '../colour/encode.ts';
import { screen } from '../colour/screen.ts';
import { SPACES } from '../colour/spaces.ts';
import type { Channel } from '../measure/measure.ts';
import { type OutputRows, outputRows, type PictureInfo, type PictureWriter } from '../plane/picture.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { type StripOptions, samplesFor } from '../plane/strips.ts';
import type { Settled, SettledStars } from '../recipe/settle/settled.ts';
import type { CurveKind } from '../stretch/curve.ts';
import { CURVES } from '../stretch/curves.ts';
import type { KernelForm } from './kernel.ts';
import { renderPicture } from './picture.ts';

type Form = Pick<PictureInfo, 'width' | 'height'> & KernelForm;

/**
 * As `renderPicture`, with the settled stars laid over: the mix is computed in float, stars are added, the sum is
 * rounded once. `stars` are the sources of red, green and blue, of the size of the picture.
 */
export const renderWithStars = async (
  channels: readonly Channel[],
  settled: Settled,
  stars: readonly PlaneSource[],
  info: Form,
  writer: PictureWriter,
  options: StripOptions = {},
): Promise<void> => {
  const lay = layer(settled, settled.stars!);
  const buffers: Samples[] = [];
  let y = 0;
  const over: PictureWriter = {
    async writeRows(rows) {
      const count = rows.length / 4;
      const height = count / info.width;
      for (const [b, source] of stars.entries()) {
        if (buffers[b] === undefined || buffers[b].length < count) buffers[b] = samplesFor(source, count);
        await source.readRows(y, height, buffers[b]);
      }
      y += height;
      lay(rows, buffers);
      await writer.writeRows(rounded(rows, count, info));
    },
    finish: () => writer.finish(),
  };
  await renderPicture(channels, settled, { ...info, sample: 'f32', bands: 4 }, over, options);
};

/** Lays stars over float pixels with alpha, in place. */
const layer = ({ space }: Settled, { strength, channels }: SettledStars) => {
  const linear = space === 'srgb-linear';
  const { encode, decode } = SPACES.srgb;
  const curves = channels.map(({ stretch: { curve, ...parameters } }) =>
    (CURVES[curve] as CurveKind).curve(parameters),
  );
  return (pixels: OutputRows, stars: readonly Samples[]): void => {
    for (let i = 0, o = 0; o < pixels.length; i++, o += 4) {
      if (pixels[o + 3] === 0) continue;
      for (let b = 0; b < 3; b++) {
        const x = stars[b]![i]!;
        if (x - x !== 0) continue;
        const { background, black, white } = channels[b]!;
        const star = strength * curves[b]!(clampUnit((x - background - black) / (white - black)));
        const mix = pixels[o + b]!;
        pixels[o + b] = linear ? decode(screen(encode(mix), star)) : screen(mix, star);
      }
    }
  };
};

/** Float pixels with alpha in the form that is wanted. */
const rounded = (pixels: OutputRows, count: number, { sample, bands }: KernelForm): OutputRows => {
  const out = outputRows(sample, count * bands);
  const full = SAMPLE_FULL[sample];
  for (let i = 0; i < count; i++)
    for (let b = 0; b < bands; b++) {
      const value = pixels[4 * i + b]!;
      out[i * bands + b] = sample === 'f32' ? clampUnit(value) : quantise(value, full);
    }
  return out;
};
