import { clampUnit, quantise, SAMPLE_FULL } from '../colour/encode.ts';
import { inGamut } from '../colour/gamut/method.ts';
import { GAMUT_METHODS } from '../colour/gamut.ts';
import { limitGreen } from '../colour/green-limit.ts';
import { HIGHLIGHTS } from '../colour/highlights.ts';
import { replaceLuminance } from '../colour/luminance.ts';
import { SPACES } from '../colour/spaces.ts';
import type { Samples } from '../plane/plane.ts';
import type { Settled, SettledStretch } from '../recipe/settled.ts';
import type { CurveKind } from '../stretch/curve.ts';
import { CURVES } from '../stretch/curves.ts';
import type { Kernel, KernelForm } from './kernel.ts';

/** A step that works on one colour in place. */
type Step = (rgb: Float64Array) => void;

/** The kernel in plain float64: the reference for every faster one, and the fallback where none runs. */
export const jsKernel = (settled: Settled, form: KernelForm): Kernel => {
  const { channels } = settled;
  const e = new Float64Array(channels.length);
  const rgb = new Float64Array(3);
  const curves = channels.map(({ stretch }) => curveOf(stretch));
  const steps = colourSteps(settled, e);
  const mix = mixer(settled.matrix, e, rgb);
  const full = SAMPLE_FULL[form.sample];
  const { bands } = form;
  const whole = form.sample !== 'f32';
  /** Fills `e` for one pixel; false where a channel is undefined there. */
  const stretch = (inputs: readonly Samples[], i: number): boolean => {
    for (let c = 0; c < channels.length; c++) {
      const x = inputs[c]![i]!;
      if (x - x !== 0) return false;
      const { background, black, white } = channels[c]!;
      e[c] = curves[c]!(clampUnit((x - background - black) / (white - black)));
    }
    return true;
  };
  return (inputs, count, out) => {
    for (let i = 0, o = 0; i < count; i++, o += bands) {
      const defined = stretch(inputs, i);
      if (defined) {
        mix();
        for (const step of steps) step(rgb);
      } else rgb.fill(0);
      for (let b = 0; b < 3; b++) out[o + b] = whole ? quantise(rgb[b]!, full) : clampUnit(rgb[b]!);
      if (bands === 4) out[o + 3] = defined ? full : 0;
    }
  };
};

const curveOf = ({ curve, ...parameters }: SettledStretch): ((t: number) => number) =>
  (CURVES[curve] as CurveKind).curve(parameters);

const mixer = (matrix: Settled['matrix'], e: Float64Array, rgb: Float64Array) => {
  const rows = matrix.map((row) => Float64Array.from(row));
  return () => {
    for (let r = 0; r < 3; r++) {
      const row = rows[r]!;
      let sum = 0;
      for (let c = 0; c < row.length; c++) sum += row[c]! * e[c]!;
      rgb[r] = sum;
    }
  };
};

/**
 * What happens to a mixed colour, in order: intensity curve (in light only), green limit, lightness, highlights, gamut.
 * The last step leaves display values of the space. `e` holds the stretched channels of the pixel at hand.
 */
const colourSteps = (settled: Settled, e: Float64Array): Step[] => {
  const { mixIn, intensity, greenLimit, lightness } = settled;
  const space = SPACES[settled.space];
  const gamut = GAMUT_METHODS[settled.gamut].map;
  const highlights = HIGHLIGHTS[settled.highlights];
  const inLight = mixIn === 'light';
  const encode: Step = (rgb) => each(rgb, space.encode);
  const decode: Step = (rgb) => each(rgb, space.decode);
  const steps: Step[] = [];
  if (intensity !== undefined) steps.push(lift(intensity));
  if (greenLimit !== undefined) steps.push((rgb) => limitGreen(rgb, 0, greenLimit.amount, greenLimit.mean));
  if (lightness !== undefined) {
    const light = intensity === undefined ? space.decode : curveOf(intensity);
    const target = () => light(clampUnit(lightness.reduce((sum, w, c) => sum + w * e[c]!, 0)));
    const replace: Step = (rgb) => replaceLuminance(rgb, 0, space, target());
    steps.push(...(inLight ? [replace] : [decode, replace, encode]));
  }
  steps.push((rgb) => highlights(rgb, 0, space));
  if (inLight) steps.push((rgb) => gamut(rgb, 0, space), encode);
  else
    steps.push((rgb) => {
      // Display values inside the range need no journey through light and come out bit for bit.
      if (inGamut(rgb, 0)) return;
      decode(rgb);
      gamut(rgb, 0, space);
      encode(rgb);
    });
  return steps;
};

const each = (rgb: Float64Array, map: (v: number) => number): void => {
  for (let b = 0; b < 3; b++) rgb[b] = map(rgb[b]!);
};

/**
 * Applies a curve to the intensity (mean of the three colours) and keeps their ratios: l · F(I) / I.
 * Source: Lupton et al. 2004, PASP 116:133. Colours without intensity become black.
 */
const lift = (stretch: SettledStretch): Step => {
  const curve = curveOf(stretch);
  return (rgb) => {
    const intensity = (rgb[0]! + rgb[1]! + rgb[2]!) / 3;
    const factor = intensity > 0 ? curve(Math.min(1, intensity)) / intensity : 0;
    each(rgb, (v) => v * factor);
  };
};
