import type { Settled } from '../../../lib/recipe/settle/settled.ts';
import { curveFor } from './curves.ts';
import { finishFor } from './finish.ts';
import { GAMUTS, type Triple, toDisplay, toLight, unit } from './formulas.ts';
import { inside, mappingFor } from './gamut-methods.ts';

/** Physical values of the settled channels to the colour of the file, 0…1; undefined where a line has no data. */
export type Recompute = (physical: readonly number[]) => Triple | undefined;

const map = (rgb: Triple, f: (v: number) => number): Triple => rgb.map(f) as Triple;

/** A sum; 0 where it is less than 2⁻³² of the sizes of its terms: docs/maths/mix.md. */
const sumOf = (terms: readonly number[]): number => {
  const sum = terms.reduce((a, b) => a + b, 0);
  const sizes = terms.reduce((a, b) => a + Math.abs(b), 0);
  return Math.abs(sum) <= sizes * 2 ** -32 ? 0 : sum;
};

/** A picture's pixel from the settled numbers: docs/maths/stretch.md, mix.md and colour.md, step by step. */
export const recomputeFor = (settled: Settled): Recompute => {
  const { channels, mixIn, greenLimit, lightness, space, highlights } = settled;
  const curves = channels.map(({ stretch }) => curveFor(stretch));
  const intensity = settled.intensity && curveFor(settled.intensity);
  const gamut = GAMUTS[space]!;
  const mapping = mappingFor(settled.gamut);
  const display = mixIn === 'display';
  const finish = settled.finish && finishFor(settled.finish, gamut);

  const withLightness = (rgb: Triple, e: readonly number[]): Triple => {
    const wish = unit(lightness!.reduce((sum, w, c) => sum + w * e[c]!, 0));
    const target = intensity ? intensity(wish) : toLight(wish);
    const light = display ? map(rgb, toLight) : rgb;
    const parts = light.map((v, b) => gamut.luminance[b]! * v);
    const own = sumOf(parts);
    const replaced: Triple = own > 0 ? map(light, (v) => (v * target) / own) : [target, target, target];
    return display ? map(replaced, toDisplay) : replaced;
  };

  const withHighlights = (rgb: Triple): Triple => {
    if (highlights === 'clip') return map(rgb, (v) => Math.min(v, 1));
    const most = Math.max(...rgb);
    return most > 1 ? map(rgb, (v) => v / most) : rgb;
  };

  const lifted = (rgb: Triple): Triple => {
    const mean = sumOf(rgb) / 3;
    return mean > 0 ? map(rgb, (v) => (v * intensity!(Math.min(1, mean))) / mean) : [0, 0, 0];
  };

  return (physical) => {
    if (physical.some(Number.isNaN)) return undefined;
    const e = channels.map(({ background, black, white }, c) =>
      curves[c]!(unit((physical[c]! - (background + black)) / (white - black))),
    );
    let rgb = settled.matrix.map((row) => sumOf(row.map((w, c) => w * e[c]!))) as Triple;
    if (intensity) rgb = lifted(rgb);
    if (greenLimit) {
      const [r, g, b] = rgb;
      const m = greenLimit.mean === 'max' ? Math.max(r, b) : (r + b) / 2;
      rgb = [r, g - greenLimit.amount * Math.max(0, g - m), b];
    }
    if (lightness) rgb = withLightness(rgb, e);
    rgb = withHighlights(rgb);
    if (finish) {
      rgb = withHighlights(finish(display ? map(rgb, toLight) : rgb));
      const shown = inside(rgb) ? rgb : mapping(rgb, gamut);
      return space === 'srgb-linear' ? shown : map(shown, toDisplay);
    }
    if (!inside(rgb)) {
      const mapped = mapping(display ? map(rgb, toLight) : rgb, gamut);
      rgb = display ? map(mapped, toDisplay) : mapped;
    }
    const linear = space === 'srgb-linear';
    if (display) return linear ? map(rgb, toLight) : rgb;
    return linear ? rgb : map(rgb, toDisplay);
  };
};
