// Paths of chroma that bend near blue, as lib/colour/gamut/smooth.ts; see there. The functions of an angle are series, good
// to 1e-13 over the range at hand.

/** cos and sin of the hue of blue, 264.052°. */
const COS_BLUE: f64 = -0.1036258209012935;
const SIN_BLUE: f64 = -0.9946163527926398;
const REACH: f64 = 0.6981317007977318;
/** The tangent of the reach, 40°. */
const TAN_REACH: f64 = 0.8390996311772799;
const BEND: f64 = 0.15;
const SHORTEST: f64 = 1.0 / 1073741824;
const TOUCH: f64 = 1e-13;

/** How many radians a path turns for each factor e in chroma; 0 for hues beyond the reach of blue. */
@inline
export function bendOf(a: f64, b: f64): f64 {
  const along = a * COS_BLUE + b * SIN_BLUE;
  const across = b * COS_BLUE - a * SIN_BLUE;
  if (!(abs(across) < along * TAN_REACH)) return 0;
  const t = arctan(across / along) / REACH;
  const rest = 1 - t * t;
  return BEND * rest * rest;
}

/** For |x| ≤ 0.84: the angle is halved twice, then its series. */
@inline
function arctan(x: f64): f64 {
  const y = x / (1 + sqrt(1 + x * x));
  const z = y / (1 + sqrt(1 + y * y));
  const q = z * z;
  const far = 1.0 / 9 - q * (1.0 / 11 - q * (1.0 / 13 - q * (1.0 / 15)));
  return 4 * z * (1 - q * (1.0 / 3 - q * (1.0 / 5 - q * (1.0 / 7 - q * far))));
}

/** The natural logarithm of a positive, normal number. */
@inline
function ln(x: f64): f64 {
  const bits = reinterpret<i64>(x);
  // The mantissa between √½ and √2.
  const exponent = <i32>((bits - 0x3fe6a09e667f3bcd) >> 52);
  const m = reinterpret<f64>(bits - (<i64>exponent << 52));
  const s = (m - 1) / (m + 1);
  const q = s * s;
  const far = 1.0 / 9 + q * (1.0 / 11 + q * (1.0 / 13 + q * (1.0 / 15 + q * (1.0 / 17))));
  const series = 1 + q * (1.0 / 3 + q * (1.0 / 5 + q * (1.0 / 7 + q * far)));
  return <f64>exponent * 0.6931471805599453 + 2 * s * series;
}

/** The direction at the chroma scale that was last turned to: OKLab a and b. */
let turnedA: f64 = 0;
let turnedB: f64 = 0;
/** How the cube roots of the three cone responses change with chroma in that direction. */
export let long: f64 = 0;
export let middle: f64 = 0;
export let short: f64 = 0;

let light: f64 = 0;
let fromA: f64 = 0;
let fromB: f64 = 0;
let bend: f64 = 0;
/** Where 9 numbers of LMS → RGB lie, and the rows of OKLab → cube roots. */
let toRgb: usize = 0;
let toRoots: usize = 0;

@inline
function at(base: usize, i: i32): f64 {
  return load<f64>(base + (<usize>i << 3));
}

/** Angles up to 3.2: a quarter of the angle by series, doubled twice. */
function turn(u: f64): void {
  const quarter = -0.25 * bend * ln(u);
  const q = quarter * quarter;
  const farCos = 1 - q * (1.0 / 90) * (1 - q * (1.0 / 132) * (1 - q * (1.0 / 182)));
  const farSin = 1 - q * (1.0 / 110) * (1 - q * (1.0 / 156) * (1 - q * (1.0 / 210)));
  let cos = 1 - q * (1.0 / 2) * (1 - q * (1.0 / 12) * (1 - q * (1.0 / 30) * (1 - q * (1.0 / 56) * farCos)));
  let sin = 1 - q * (1.0 / 6) * (1 - q * (1.0 / 20) * (1 - q * (1.0 / 42) * (1 - q * (1.0 / 72) * farSin)));
  sin *= quarter;
  for (let i = 0; i < 2; i++) {
    const double = 2 * sin * cos;
    cos = 1 - 2 * sin * sin;
    sin = double;
  }
  turnedA = fromA * cos - fromB * sin;
  turnedB = fromA * sin + fromB * cos;
  long = at(toRoots, 1) * turnedA + at(toRoots, 2) * turnedB;
  middle = at(toRoots, 4) * turnedA + at(toRoots, 5) * turnedB;
  short = at(toRoots, 7) * turnedA + at(toRoots, 8) * turnedB;
}

@inline
function cube(x: f64): f64 {
  return x * x * x;
}

@inline
function channelAt(u: f64, row: i32): f64 {
  const l = at(toRgb, row) * cube(light + long * u);
  return l + at(toRgb, row + 1) * cube(light + middle * u) + at(toRgb, row + 2) * cube(light + short * u);
}

/** The greatest chroma scale up to which a bent path stays in the cube; leaves the slopes of its direction there. */
export function bentExit(lightness: f64, a: f64, b: f64, by: f64, lmsToRgb: usize, labToRoots: usize): f64 {
  light = lightness;
  fromA = a;
  fromB = b;
  bend = by;
  toRgb = lmsToRgb;
  toRoots = labToRoots;
  let end: f64 = 1;
  turn(end);
  for (let moved = true; moved; ) {
    moved = false;
    for (let row = 0; row < 9; row += 3) {
      const value = channelAt(end, row);
      if (value >= -TOUCH && value <= 1 + TOUCH) continue;
      end = crossing(row, end, value > 0);
      turn(end);
      moved = end > SHORTEST;
    }
  }
  return end;
}

@inline
function room(u: f64, row: i32, upper: bool): f64 {
  turn(u);
  const value = channelAt(u, row);
  return upper ? 1 - value : value;
}

function crossing(row: i32, end: f64, upper: bool): f64 {
  let low: f64 = 0;
  let high = end;
  let inside = upper ? 1 - cube(light) : cube(light);
  let outside = room(end, row, upper);
  let last = 0;
  for (let round = 0; round < 100; round++) {
    const chord = high - (outside * (high - low)) / (outside - inside);
    const u = chord > low && chord < high ? chord : (low + high) / 2;
    const value = room(u, row, upper);
    if (abs(value) <= TOUCH / 10 || u < SHORTEST) return max(u, SHORTEST);
    const side = value > 0 ? 1 : -1;
    const same = side == last;
    last = side;
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
  return max(low, SHORTEST);
}

@inline
function weightLeft(ratio: f64): f64 {
  return ratio < 1 ? 1 - ratio : 0.5;
}
