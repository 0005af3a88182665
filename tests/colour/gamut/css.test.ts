import Color from 'colorjs.io';
import { describe, expect, it } from 'vitest';
import { css } from '../../../lib/colour/gamut/css.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import { randomColours } from '../random.ts';

const IDS = {
  srgb: ['srgb-linear', 'srgb'],
  'display-p3': ['p3-linear', 'p3'],
  'srgb-linear': ['srgb-linear', 'srgb-linear'],
};

describe.each(Object.values(SPACES))('css method in $label', (space) => {
  it('agrees with colorjs.io', () => {
    const [light, target] = IDS[space.name] as [string, string];
    const colours = randomColours(23, 300, -0.6, 1.6);
    for (let i = 0; i < colours.length; i += 3) {
      const rgb = [...colours.subarray(i, i + 3)] as [number, number, number];
      const wanted = new Color(light, rgb).toGamut({ space: target, method: 'css' }).to(target).coords;
      css.map(colours, i, space);
      for (let c = 0; c < 3; c++) expect(space.encode(colours[i + c]!)).toBeCloseTo(wanted[c]!, 9);
    }
  });
});
