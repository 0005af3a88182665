import { describe, expect, it } from 'vitest';
import { formatHex } from '../../lib/colour/colour-text.ts';
import { encodeRgb } from '../../lib/colour/convert.ts';
import { hsvHue } from '../../lib/colour/hsv.ts';
import { lineColour } from '../../lib/colour/lines.ts';
import { NAMED_LINES } from '../../lib/colour/named-lines.ts';
import { OBSERVER_RANGE, observerXyz } from '../../lib/colour/observer.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import { LinewashError } from '../../lib/plane/errors.ts';
import golden from '../golden/colour/lines.json';
import { expectClose } from './close.ts';

const codes = (hex: string): number[] => [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16));

describe('CIE 1931 observer', () => {
  it('column sums of the table are the published ones', () => {
    const sums = [0, 0, 0];
    for (let nm = 380; nm <= 780; nm += 5) {
      const xyz = observerXyz(nm);
      for (let i = 0; i < 3; i++) sums[i]! += xyz[i]!;
    }
    expectClose(sums, golden.columnSums.values, 1e-9);
  });

  it.each(golden.lines)('$nm nm is within 3.5e-4 of the 1 nm table', ({ nm, cmf }) => {
    expectClose(observerXyz(nm), cmf, 3.5e-4);
  });

  it('stays within the errors of an analytic fit over the whole range', () => {
    // C. Wyman, P.-P. Sloan, P. Shirley, Simple analytic approximations to the CIE XYZ color matching functions,
    // J. Comput. Graph. Tech. 2(2) 1-11, 2013, equation 4. Its own error is up to about 0.02.
    const lobe = (nm: number, mean: number, below: number, above: number) =>
      Math.exp(-0.5 * ((nm - mean) * (nm < mean ? below : above)) ** 2);
    for (let nm = 380; nm <= 780; nm += 1.7) {
      const [x, y, z] = observerXyz(nm);
      const fitX = 0.362 * lobe(nm, 442, 0.0624, 0.0374) + 1.056 * lobe(nm, 599.8, 0.0264, 0.0323);
      expect(Math.abs(x - fitX + 0.065 * lobe(nm, 501.1, 0.049, 0.0382))).toBeLessThan(0.03);
      expect(
        Math.abs(y - 0.821 * lobe(nm, 568.8, 0.0213, 0.0247) - 0.286 * lobe(nm, 530.9, 0.0613, 0.0322)),
      ).toBeLessThan(0.03);
      expect(Math.abs(z - 1.217 * lobe(nm, 437, 0.0845, 0.0278) - 0.681 * lobe(nm, 459, 0.0385, 0.0725))).toBeLessThan(
        0.03,
      );
    }
  });

  it.each([379.9, 780.1, 0, -5, Number.NaN, Number.POSITIVE_INFINITY])('refuses %d nm', (nm) =>
    expect(() => observerXyz(nm)).toThrow(LinewashError),
  );

  it('covers its ends', () => {
    const [first, last] = OBSERVER_RANGE;
    expect(observerXyz(first)[1]).toBeCloseTo(0.000039, 9);
    expect(observerXyz(last)[1]).toBeCloseTo(0.000015, 9);
  });
});

describe('line colours', () => {
  it.each(golden.lines)('$nm nm', ({ nm, srgb, p3, hex, hue }) => {
    const colour = lineColour(nm, SPACES.srgb);
    expectClose(colour, srgb, 2e-3);
    expectClose(lineColour(nm, SPACES['display-p3']), p3, 2e-3);
    expectClose(codes(formatHex(colour, SPACES.srgb)), codes(hex), 1);
    const step = Math.abs(hsvHue(encodeRgb(colour, SPACES.srgb))! - hue);
    expect(Math.min(step, 360 - step)).toBeLessThan(0.5);
  });

  it('is always a colour of the space with its largest channel 1 and its lowest 0', () => {
    for (const space of Object.values(SPACES))
      for (let nm = 380; nm <= 780; nm += 0.5) {
        const colour = lineColour(nm, space);
        expect(Math.max(...colour)).toBe(1);
        expect(Math.min(...colour)).toBeGreaterThanOrEqual(0);
        // The red of Display P3 lies almost on the spectrum: at 614.5 nm no white is needed.
        expect(Math.min(...colour)).toBeLessThan(1e-4);
      }
  });
});

describe('named lines', () => {
  it('rise, and have distinct names', () => {
    const nm = NAMED_LINES.map((line) => line.wavelength);
    expect(nm).toEqual([...nm].sort((a, b) => a - b));
    expect(new Set(NAMED_LINES.map((line) => line.name)).size).toBe(NAMED_LINES.length);
    // Recipes name lines so: a name that changes breaks those that were written.
    const names = 'Hg HeII Hb OIII-495 OIII HeI OI NII-654 Ha NII SII SII-673 ArIII';
    expect(NAMED_LINES.map((line) => line.name).join(' ')).toBe(names);
  });

  it.each(golden.wavelengths.values as [string, number, number][])(
    '%s from vacuum %d to air %d ångström',
    (_, vacuum, air) => {
      // Ciddor 1996 for standard air; 0.002 nm covers the published range of hydrogen's fine-structure blends.
      const square = (1e4 / vacuum) ** 2;
      const index = 1 + 0.05792105 / (238.0185 - square) + 0.00167917 / (57.362 - square);
      expect(vacuum / index).toBeCloseTo(air, 2);
      expect(Math.min(...NAMED_LINES.map((line) => Math.abs(line.wavelength * 10 - air)))).toBeLessThan(0.02);
    },
  );
});
