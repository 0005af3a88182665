import { filterDeficiencyDeuter, filterDeficiencyProt, filterDeficiencyTrit } from 'culori';
import { describe, it } from 'vitest';
import { convert } from '../../lib/colour/convert.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import { applyMatrix, VISION_MATRICES, type VisionName, visionMatrix } from '../../lib/colour/vision.ts';
import { column, type Triple } from '../../lib/plane/linear.ts';
import golden from '../golden/colour/vision.json';
import { expectClose } from './close.ts';

const NAMES = ['protan', 'deutan', 'tritan'] as const;
// CSS named colours in encoded sRGB.
const COLOURS = {
  red: [1, 0, 0],
  lime: [0, 1, 0],
  blue: [0, 0, 1],
  orange: [1, 165 / 255, 0],
  teal: [0, 128 / 255, 128 / 255],
};
const { srgb } = SPACES;

const seen = (name: VisionName, light: readonly number[], space = srgb): number[] => {
  const pixel = Float64Array.from(light);
  applyMatrix(pixel, 0, visionMatrix(name, space));
  return [...pixel];
};

describe.each(NAMES)('%s', (name) => {
  it.each(Object.entries(COLOURS))('%s', (colour, encoded) => {
    const wanted = golden[name][colour as keyof typeof COLOURS].lin;
    const got = seen(name, encoded.map(srgb.decode)).map((value) => Math.min(1, Math.max(0, value)));
    expectClose(got, wanted, 1e-10);
  });

  it('keeps greys: rows sum to 1 as published', () => {
    expectClose(
      VISION_MATRICES[name].map((row) => row[0]! + row[1]! + row[2]!),
      golden[name].rowsums,
      1e-12,
    );
  });

  it('sees the same in Display P3', () => {
    const light: Triple = [0.7, 0.4, 0.2];
    const p3 = SPACES['display-p3'];
    const there = seen(name, convert(light, srgb, p3), p3) as unknown as Triple;
    expectClose(convert(there, p3, srgb), seen(name, light), 1e-12);
  });
});

it('has the entries that another library has, the negative ones too', () => {
  const filters = { protan: filterDeficiencyProt, deutan: filterDeficiencyDeuter, tritan: filterDeficiencyTrit };
  for (const name of NAMES)
    for (const [i, channel] of (['r', 'g', 'b'] as const).entries()) {
      // That library multiplies whatever RGB it is given; a unit vector in its linear mode shows one column.
      const unit = { mode: 'rgb', r: 0, g: 0, b: 0, [channel]: 1 };
      const { r, g, b } = filters[name](1)(unit);
      expectClose([r, g, b].map(Number), column(VISION_MATRICES[name], i), 1e-9);
    }
});
