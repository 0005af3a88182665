import { clampUnit, quantise, SAMPLE_FULL } from '../colour/encode.ts';
import { screen } from '../colour/screen.ts';
import { SPACES } from '../colour/spaces.ts';
import { type OutputRows, outputRows } from '../plane/picture.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { samplesFor } from '../plane/strips.ts';
import type { Settled, SettledStars } from '../recipe/settle/settled.ts';
import type { CurveKind } from '../stretch/curve.ts';
import { CURVES } from '../stretch/curves.ts';
import type { KernelForm } from './kernel.ts';

/** Rows [y, y + rows) of the mix, float with alpha and changed in place, to rows with stars in the form of the picture. */
export type StarLayer = (mix: OutputRows, y: number, rows: number) => Promise<OutputRows>;

/**
 * Lays settled stars over a mix that was computed in float, and rounds the sum once.
 * @param sources red, green and blue of the stars, of the size of the picture
 */
export const starLayer = (
  settled: Settled,
  stars: SettledStars,
  sources: readonly PlaneSource[],
  form: KernelForm,
): StarLayer => {
  const lay = layer(settled, stars);
  let buffers: Samples[] = [];
  return async (mix, y, rows) => {
    const count = mix.length / 4;
    if ((buffers[0]?.length ?? 0) < count) buffers = sources.map((source) => samplesFor(source, count));
    for (const [b, source] of sources.entries()) await source.readRows(y, rows, buffers[b]!);
    lay(mix, buffers);
    return rounded(mix, count, form);
  };
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

/** Float pixels with alpha in the form of the picture. */
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
