import { describe, it } from 'vitest';
import { convert } from '../../../lib/colour/convert.ts';
import { GAMUT_METHODS, type GamutName } from '../../../lib/colour/gamut.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import type { Triple } from '../../../lib/plane/linear.ts';
import golden from '../../golden/colour/gamut.json';
import { expectClose } from '../close.ts';

const { srgb } = SPACES;

const mapped = (method: GamutName, light: readonly number[]): number[] => {
  const rgb = Float64Array.from(light);
  GAMUT_METHODS[method].map(rgb, 0, srgb);
  return Array.from(rgb, srgb.encode);
};

describe.each(golden.fixed)('$name', ({ light, exact, css, clip }) => {
  it('chroma', () => expectClose(mapped('chroma', light), exact, 1e-12));
  it('css', () => expectClose(mapped('css', light), css, 1e-12));
  it('clip', () => expectClose(mapped('clip', light), clip, 1e-12));
});

it.each(golden.p3PrimariesCssPercent)(
  'Display P3 $p3 into sRGB as published for the css method',
  ({ p3, srgb: percent }) => {
    const light = convert(p3 as unknown as Triple, SPACES['display-p3'], srgb);
    expectClose(
      mapped('css', light),
      percent.map((v) => v / 100),
      5e-5,
    );
  },
);
