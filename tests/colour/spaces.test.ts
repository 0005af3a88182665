import Color from 'colorjs.io';
import { describe, expect, it } from 'vitest';
import { convert, decodeRgb, encodeRgb, fromXyz } from '../../lib/colour/convert.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import { identity, multiply, multiplyVector, type Triple } from '../../lib/plane/linear.ts';
import golden from '../golden/colour/spaces.json';
import { expectClose } from './close.ts';
import { randomColours } from './random.ts';

const { srgb } = SPACES;
const p3 = SPACES['display-p3'];

describe('space matrices', () => {
  it.each(['srgb', 'display-p3'] as const)('%s: fractions agree with primaries and white', (name) => {
    expectClose(SPACES[name].toXyz.flat(), golden[name].toXyz.flat(), 1e-14);
    expectClose(SPACES[name].fromXyz.flat(), golden[name].fromXyz.flat(), 1e-12);
  });

  it.each(Object.keys(SPACES) as (keyof typeof SPACES)[])('%s: is keyed by its name and undoes itself', (name) => {
    const space = SPACES[name];
    expect(space.name).toBe(name);
    expectClose(multiply(space.fromXyz, space.toXyz).flat(), identity(3).flat(), 1e-14);
    expectClose(space.white, golden.srgb.white, 1e-14);
    expect(space.luminance[0] + space.luminance[1] + space.luminance[2]).toBeCloseTo(1, 15);
  });

  it('sRGB luminance', () => expectClose(srgb.luminance, golden.srgb.luminance, 1e-15));
  it('Display P3 light as sRGB light', () => {
    for (const i of [0, 1, 2]) {
      const primary = [0, 0, 0];
      primary[i] = 1;
      const wanted = golden.p3LightToSrgbLight.map((row) => row[i]!);
      expectClose(convert(primary as unknown as Triple, p3, srgb), wanted, 1e-14);
    }
  });
});

describe('conversions', () => {
  it.each(golden.srgbInP3)('$css in Display P3', ({ css, p3: wanted, xyz }) => {
    const light = new Color(css).to('srgb-linear').coords as unknown as Triple;
    expectClose(encodeRgb(convert(light, srgb, p3), p3), wanted, 1e-9);
    expectClose(multiplyVector(srgb.toXyz, light), xyz, 1e-12);
  });

  it.each(golden.p3PrimariesInSrgb)('Display P3 $name in sRGB', ({ srgb: wanted, light }) => {
    expectClose(encodeRgb(light as unknown as Triple, srgb), wanted, 1e-9);
  });

  it('the example printed in CSS Color 4', () => {
    const encoded: Triple = [0x76 / 255, 0x54 / 255, 0xcd / 255];
    // The draft rounds at several steps on the way.
    expectClose(multiplyVector(srgb.toXyz, decodeRgb(encoded, srgb)), golden.printed.xyz, 5e-4);
  });

  it('agrees with colorjs.io on random colours, negative ones too', () => {
    const colours = randomColours(1, 200, -0.5, 1.5);
    for (let i = 0; i < colours.length; i += 3) {
      const rgb: Triple = [colours[i]!, colours[i + 1]!, colours[i + 2]!];
      const wanted = new Color('srgb-linear', [...rgb]).to('p3');
      expectClose(encodeRgb(convert(rgb, srgb, p3), p3), wanted.coords as number[], 1e-12);
      expectClose(
        fromXyz(new Color('srgb-linear', [...rgb]).to('xyz-d65').coords as unknown as Triple, srgb),
        rgb,
        1e-12,
      );
    }
  });
});
