import { type Gamut, type Triple, unit } from './formulas.ts';

/** A colour in linear light outside the cube to one inside. */
export type Mapping = (rgb: Triple, gamut: Gamut) => Triple;

export const inside = (rgb: Triple): boolean => rgb.every((v) => v >= 0 && v <= 1);

const clip: Mapping = (rgb) => rgb.map(unit) as Triple;

const scaledChroma = ([l, a, b]: Triple, u: number, gamut: Gamut): Triple => gamut.fromLab([l, a * u, b * u]);

/** What lies within this of the cube is clipped. */
const NEAR = 1e-9;

/**
 * From the grey of the same lightness outwards, to where the colour first leaves the cube. Along the way each channel is
 * a cubic in the share of chroma: its coefficients from four of its values, its turning points, and halving between.
 */
const chroma: Mapping = (rgb, gamut) => {
  if (rgb.every((v) => v >= -NEAR && v <= 1 + NEAR)) return clip(rgb, gamut);
  const lab = gamut.toLab(rgb);
  if (!(lab[0] > 0)) return [0, 0, 0];
  if (lab[0] >= 1) return [1, 1, 1];
  const at = (u: number) => scaledChroma(lab, u, gamut);
  const ends = [0, 1, 2].flatMap((b) => [firstFall((u) => at(u)[b]!), firstFall((u) => 1 - at(u)[b]!)]);
  return clip(at(Math.min(...ends)), gamut);
};

/** Where a cubic first falls below 0 in [0, 1]; 1 where it does not. */
const firstFall = (f: (u: number) => number): number => {
  const stops = [0, ...turns(f), 1];
  for (let i = 1; i < stops.length; i++) {
    if (f(stops[i]!) >= 0) continue;
    let [low, high] = [stops[i - 1]!, stops[i]!];
    for (let round = 0; round < 100; round++) {
      const middle = (low + high) / 2;
      if (f(middle) >= 0) low = middle;
      else high = middle;
    }
    return low;
  }
  return 1;
};

/** Turning points of a cubic within (0, 1), ascending, from its values at 0, ⅓, ⅔ and 1 (Newton's differences). */
const turns = (f: (u: number) => number): number[] => {
  const [y0, y1, y2, y3] = [f(0), f(1 / 3), f(2 / 3), f(1)] as [number, number, number, number];
  const c3 = 4.5 * (y3 - 3 * y2 + 3 * y1 - y0);
  const c2 = 4.5 * (y2 - 2 * y1 + y0) - c3;
  const c1 = 3 * (y1 - y0) - c2 / 3 - c3 / 9;
  const root = Math.sqrt(c2 * c2 - 3 * c1 * c3);
  if (Number.isNaN(root)) return [];
  const q = -(c2 + Math.sign(c2 || 1) * root);
  return [q / (3 * c3), c1 / q].filter((u) => u > 0 && u < 1).sort((a, b) => a - b);
};

/** W3C CSS Color Module Level 4, "CSS gamut mapping to an RGB destination". */
const css: Mapping = (rgb, gamut) => {
  const origin = gamut.toLab(rgb);
  if (origin[0] >= 1) return [1, 1, 1];
  if (!(origin[0] > 0)) return [0, 0, 0];
  const JND = 0.02;
  const epsilon = 0.0001;
  const chromaOf = Math.hypot(origin[1], origin[2]);
  const current = (c: number): Triple => scaledChroma(origin, c / chromaOf, gamut);
  const labAt = (c: number): Triple => [origin[0], (origin[1] * c) / chromaOf, (origin[2] * c) / chromaOf];
  const difference = (one: Triple, other: Triple) =>
    Math.hypot(one[0] - other[0], one[1] - other[1], one[2] - other[2]);
  let clipped = clip(rgb, gamut);
  if (difference(gamut.toLab(clipped), origin) < JND) return clipped;
  let min = 0;
  let max = chromaOf;
  let minInside = true;
  while (max - min > epsilon) {
    const c = (min + max) / 2;
    const colour = current(c);
    if (minInside && inside(colour)) {
      min = c;
      continue;
    }
    clipped = clip(colour, gamut);
    const e = difference(gamut.toLab(clipped), labAt(c));
    if (e < JND) {
      if (JND - e < epsilon) return clipped;
      minInside = false;
      min = c;
    } else max = c;
  }
  return clipped;
};

const BLUE = (264.052 * Math.PI) / 180;

/** docs/maths/colour.md, "The method `smooth`". A path leaves the cube once, so halving finds where. */
const smooth: Mapping = (rgb, gamut) => {
  if (rgb.every((v) => v >= -NEAR && v <= 1 + NEAR)) return clip(rgb, gamut);
  const q = gamut.toCones(rgb);
  const grey = 0.2 * q[0] + 0.7 * q[1] + 0.1 * q[2];
  if (!(grey > 0)) return [0, 0, 0];
  const f = Math.min(1, ...q.filter((v) => v < 0.1 * grey).map((v) => (0.9 * grey) / (grey - v)));
  const [light, a, b] = gamut.toLab(rgb.map((v) => grey + f * (v - grey)) as Triple);
  if (light >= 1) return [1, 1, 1];
  const [length, hue] = [Math.hypot(a, b), Math.atan2(b, a)];
  const away = Math.atan2(Math.sin(hue - BLUE), Math.cos(hue - BLUE)) / ((40 * Math.PI) / 180);
  const bend = Math.abs(away) < 1 ? 0.15 * (1 - away ** 2) ** 2 : 0;
  const at = (u: number): Triple => {
    const h = hue - bend * Math.log(u);
    return gamut.fromLab([light, u * length * Math.cos(h), u * length * Math.sin(h)]);
  };
  const fits = (u: number) => at(u).every((v) => v >= -1e-13 && v <= 1 + 1e-13);
  if (fits(1)) return clip(at(1), gamut);
  let [low, high] = [2 ** -30, 1];
  for (let round = 0; round < 80; round++) {
    const middle = (low + high) / 2;
    if (fits(middle)) low = middle;
    else high = middle;
  }
  return clip(at(low), gamut);
};

const MAPPINGS: Readonly<Record<string, Mapping>> = { smooth, chroma, css, clip };

/** @throws RangeError for a method that nobody wrote a second time yet: parity of it is not known. */
export const mappingFor = (name: string): Mapping => {
  const mapping = MAPPINGS[name];
  if (mapping === undefined) throw new RangeError(`the gamut method ${name} has no recomputation: write one here`);
  return mapping;
};

export const MAPPED = Object.keys(MAPPINGS);
