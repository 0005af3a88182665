import Color from 'colorjs.io';
import { XYZ_TO_LMS } from '../../../lib/colour/lms.ts';
import type { SpaceName } from '../../../lib/plane/picture.ts';

type Triple = [number, number, number];

/** The names by which colorjs.io knows the linear form of each space. */
export const LINEAR = { srgb: 'srgb-linear', 'display-p3': 'p3-linear', 'srgb-linear': 'srgb-linear' } as const;

const coords = (colour: Color): Triple => colour.coords.map(Number) as Triple;
const inside = (rgb: readonly number[], room = 0): boolean => rgb.every((v) => v >= -room && v <= 1 + room);

/** The path of the method `smooth` from grey (u = 0) to a colour (u = 1), as linear RGB, in colorjs.io's OKLCH. */
export const bentPath = (rgb: Triple, space: SpaceName): ((u: number) => Triple) | 'black' | 'white' => {
  const xyz = coords(new Color(LINEAR[space], rgb).to('xyz-d65'));
  const cones = XYZ_TO_LMS.map((row) => row.reduce((sum, m, i) => sum + m * xyz[i]!, 0));
  const grey = 0.2 * cones[0]! + 0.7 * cones[1]! + 0.1 * cones[2]!;
  if (!(grey > 0)) return 'black';
  const kept = Math.min(1, ...cones.filter((q) => q < 0.1 * grey).map((q) => (0.9 * grey) / (grey - q)));
  const drawn = rgb.map((v) => grey + kept * (v - grey)) as Triple;
  const [light, chroma, hue] = coords(new Color(LINEAR[space], drawn).to('oklch'));
  if (light >= 1) return 'white';
  const t = (((hue - 264.052 + 540) % 360) - 180) / 40;
  const bend = Math.abs(t) < 1 ? 0.15 * (1 - t * t) ** 2 : 0;
  return (u) => {
    const turned = hue + (bend * Math.log(1 / u) * 180) / Math.PI;
    return coords(new Color('oklch', [light, u * chroma, turned]).to(LINEAR[space]));
  };
};

/** The method `smooth` by plain bisection for the end of the path, 40 halvings. */
export const bentReference = (rgb: Triple, space: SpaceName): Triple => {
  if (inside(rgb)) return rgb;
  const path = bentPath(rgb, space);
  if (path === 'black') return [0, 0, 0];
  if (path === 'white') return [1, 1, 1];
  let [low, high] = [2 ** -30, 1];
  if (inside(path(1), 1e-13)) return path(1);
  for (let round = 0; round < 40; round++) {
    const middle = (low + high) / 2;
    if (inside(path(middle))) low = middle;
    else high = middle;
  }
  return path(low).map((v) => Math.min(1, Math.max(0, v))) as Triple;
};
