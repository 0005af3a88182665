import { conesToOklab } from '../oklab.ts';
import type { Space } from '../space.ts';
import { channelAt, firstExit, setColour, setSlope } from './boundary.ts';
import { clip } from './clip.ts';
import { flooredCones } from './floor.ts';
import { type GamutMethod, inGamut, nearGamut, setGrey } from './method.ts';

/** OKLab hue of the blue primary of sRGB (and of Display P3, which has the same), in radians. */
const BLUE = (264.052 * Math.PI) / 180;
/** How far to either side of it paths bend, in radians, and by how much. */
const REACH = (40 * Math.PI) / 180;
const BEND = 0.15;
const [COS_BLUE, SIN_BLUE] = [Math.cos(BLUE), Math.sin(BLUE)];
/** The shortest path that is looked for: below it a colour is grey. */
const SHORTEST = 2 ** -30;

const lab = new Float64Array(3);
const turned = new Float64Array(3);
const slope = new Float64Array(3);

/**
 * Constant lightness, chroma reduced to the boundary of the RGB cube along a path that is straight in OKLab (constant
 * hue) but for hues within 40° of blue, where it bends towards violet by up to .15 · ln(1/u) radians at chroma scale u.
 * There the cube has a thin spike that straight paths leave and enter again, so that neighbouring colours jump apart;
 * a bent path runs inside it. Colours with negative cone responses are first drawn towards grey, in linear light.
 * Continuous: neighbouring colours stay neighbours. Lightness ≥ 1 gives white, ≤ 0 black; so do channels that are not finite.
 * Derivation and figures: docs/maths/colour.md.
 */
export const smooth: GamutMethod = {
  name: 'smooth',
  about: 'Keeps lightness and reduces chroma without jumps; keeps hue too, but for a slight turn near pure blue.',
  map(rgb, at, space) {
    if (inGamut(rgb, at)) return;
    if (nearGamut(rgb, at)) {
      clip.map(rgb, at, space);
      return;
    }
    if (!flooredCones(rgb, at, space, lab)) {
      setGrey(rgb, at, 0);
      return;
    }
    conesToOklab(lab, 0);
    const light = lab[0]!;
    if (light < 1) reduce(rgb, at, light, space);
    else setGrey(rgb, at, 1);
  },
};

const reduce = (rgb: Float64Array, at: number, light: number, space: Space): void => {
  const m = space.fromLms;
  const bend = bendOf(lab[1]!, lab[2]!);
  setSlope(lab, slope);
  const u = bend === 0 ? firstExit(light, slope, m) : bentExit(light, bend, m);
  setColour(light, slope, u, m, rgb, at);
};

/** How many radians a path turns for each factor e in chroma: BEND · (1 − t²)² at t reaches from blue, 0 beyond. */
const bendOf = (a: number, b: number): number => {
  const t = Math.atan2(b * COS_BLUE - a * SIN_BLUE, a * COS_BLUE + b * SIN_BLUE) / REACH;
  return Math.abs(t) < 1 ? BEND * (1 - t * t) ** 2 : 0;
};

/** The exit of a bent path, as `firstExit`; leaves the slope of its direction there. */
const bentExit = (light: number, bend: number, m: Float64Array): number => {
  let end = 1;
  turn(end, bend);
  // A root in one channel may lie beyond the first of another, so look again until every channel is inside.
  for (let moved = true; moved; ) {
    moved = false;
    for (let row = 0; row < 9; row += 3) {
      const value = channelAt(light, slope, end, m, row);
      const inside = value >= -TOUCH && value <= 1 + TOUCH;
      if (inside) continue;
      end = crossing(light, bend, m, row, end, value < 0 ? 0 : 1);
      turn(end, bend);
      moved = end > SHORTEST;
    }
  }
  return end;
};

/** A channel this near to a face lies on it. */
const TOUCH = 1e-13;

/** Turns the colour's direction to where the path is at chroma scale u. */
const turn = (u: number, bend: number): void => {
  const angle = -bend * Math.log(u);
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  turned[1] = lab[1]! * cos - lab[2]! * sin;
  turned[2] = lab[1]! * sin + lab[2]! * cos;
  setSlope(turned, slope);
};

/**
 * Where one channel crosses `face` (0 or 1) between grey, which is inside, and `end`, which is not: bracketed secants, the
 * end that stays given less weight (N. Anderson, Å. Björck, BIT 13:253, 1973). Six steps are usual.
 */
const crossing = (light: number, bend: number, m: Float64Array, row: number, end: number, face: 0 | 1): number => {
  const room = (u: number): number => {
    turn(u, bend);
    const value = channelAt(light, slope, u, m, row);
    return face === 0 ? value : 1 - value;
  };
  let low = 0;
  let high = end;
  // Rows of `fromLms` sum to 1, so a grey's channels are the cube of its lightness.
  let inside = face === 0 ? light ** 3 : 1 - light ** 3;
  let outside = room(end);
  let last = 0;
  for (let round = 0; round < 100; round++) {
    const chord = high - (outside * (high - low)) / (outside - inside);
    const u = chord > low && chord < high ? chord : (low + high) / 2;
    const value = room(u);
    if (Math.abs(value) <= TOUCH / 10 || u < SHORTEST) return Math.max(u, SHORTEST);
    const same = Math.sign(value) === last;
    last = Math.sign(value);
    if (value > 0) {
      if (same) outside *= weightLeft(value / inside);
      low = u;
      inside = value;
    } else {
      if (same) inside *= weightLeft(value / outside);
      high = u;
      outside = value;
    }
  }
  return Math.max(low, SHORTEST);
};

const weightLeft = (ratio: number): number => (ratio < 1 ? 1 - ratio : 0.5);
