import Color from 'colorjs.io';
import { differenceCiede2000 } from 'culori';
import { describe, expect, it } from 'vitest';
import { ciede2000, differenceOf, okDifferenceOf } from '../../lib/colour/difference.ts';
import { rgbToLab } from '../../lib/colour/lab.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import type { Triple } from '../../lib/plane/linear.ts';
import golden from '../golden/colour/ciede2000.json';
import { expectClose } from './close.ts';
import { randomColours } from './random.ts';

const pairs = golden.pairs as unknown as [Triple, Triple, number][];

describe('CIEDE2000', () => {
  it('has all 34 published pairs', () => expect(pairs).toHaveLength(34));

  it.each(pairs)('%j to %j is %d', (one, other, published) => {
    expect(Math.abs(ciede2000(one, other) - published)).toBeLessThan(5e-5 + 1e-9);
    expect(ciede2000(other, one)).toBeCloseTo(ciede2000(one, other), 12);
  });

  it('of a colour to itself is 0, of black to white 100', () => {
    expect(ciede2000([40, 20, -30], [40, 20, -30])).toBe(0);
    expect(ciede2000([0, 0, 0], [100, 0, 0])).toBeCloseTo(100, 12);
  });
});

describe('between linear RGB colours', () => {
  const colours = randomColours(17, 400, 0, 1);
  const space = SPACES.srgb;
  const pairsOfColours = Array.from(
    { length: 200 },
    (_, i) =>
      [
        [...colours.subarray(6 * i, 6 * i + 3)] as unknown as Triple,
        [...colours.subarray(6 * i + 3, 6 * i + 6)] as unknown as Triple,
      ] as const,
  );

  it('L*a*b* agrees with colorjs.io against D65', () => {
    for (const [rgb] of pairsOfColours) {
      const wanted = new Color('srgb-linear', [...rgb]).to('lab-d65').coords as number[];
      expectClose(rgbToLab(rgb, space), wanted, 1e-9);
    }
  });

  it('CIEDE2000 agrees with culori against D65', () => {
    const difference = differenceCiede2000();
    const culori = ([l, a, b]: Triple) => ({ mode: 'lab65', l, a, b });
    for (const [one, other] of pairsOfColours)
      expect(differenceOf(one, other, space)).toBeCloseTo(
        difference(culori(rgbToLab(one, space)), culori(rgbToLab(other, space))),
        9,
      );
  });

  it('the OKLab difference agrees with colorjs.io', () => {
    for (const [one, other] of pairsOfColours) {
      const wanted = new Color('srgb-linear', [...one]).deltaE(new Color('srgb-linear', [...other]), 'OK');
      expect(okDifferenceOf(one, other, space)).toBeCloseTo(wanted, 12);
    }
  });
});
