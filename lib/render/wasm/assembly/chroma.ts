import { firstZero } from './cubic';

// Chroma reduction in OKLCH to the exact boundary, as lib/colour/gamut/chroma.ts; see there for the sources.

/** 36 numbers set by the host: linear RGB → LMS, LMS → RGB, cube-rooted LMS → OKLab, and back. */
const matrices = memory.data(36 * 8, 8);

export function setMatrixEntry(i: i32, value: f64): void {
  store<f64>(matrices + (<usize>i << 3), value);
}

@inline
function m(i: i32): f64 {
  return load<f64>(matrices + (<usize>i << 3));
}

export let mappedR: f64 = 0;
export let mappedG: f64 = 0;
export let mappedB: f64 = 0;

function setMapped(r: f64, g: f64, b: f64): void {
  mappedR = max(0, min(1, r));
  mappedG = max(0, min(1, g));
  mappedB = max(0, min(1, b));
}

/** Cube root: an estimate from the exponent, good to 5 bits, then twice Halley's step, which triples the digits. */
@inline
function cbrt(x: f64): f64 {
  const size = abs(x);
  if (size < 1e-290) return 0;
  const high = <u32>(reinterpret<u64>(size) >> 32);
  let t = reinterpret<f64>(<u64>(high / 3 + 715094163) << 32);
  let cube = t * t * t;
  t *= (cube + 2 * size) / (2 * cube + size);
  cube = t * t * t;
  t *= (cube + 2 * size) / (2 * cube + size);
  return copysign(t, x);
}

@inline
function cube(x: f64): f64 {
  return x * x * x;
}

/** u ∈ [0, end]: the greatest chroma scale at which one row of LMS → RGB stays in [0, 1]. */
@inline
function stopAtFaces(row: i32, light: f64, l: f64, c: f64, s: f64, end: f64): f64 {
  const p = m(9 + row);
  const q = m(10 + row);
  const r = m(11 + row);
  const pl = p * l;
  const qc = q * c;
  const rs = r * s;
  const pll = pl * l;
  const qcc = qc * c;
  const rss = rs * s;
  const c0 = light * light * light * (p + q + r);
  const c1 = 3 * light * light * (pl + qc + rs);
  const c2 = 3 * light * (pll + qcc + rss);
  const c3 = pll * l + qcc * c + rss * s;
  // The cubic over [0, end] lies between its Bézier ordinates: most channels need no root.
  const b1 = c0 + (c1 * end) / 3;
  const b2 = b1 + ((c1 + c2 * end) * end) / 3;
  const b3 = c0 + end * (c1 + end * (c2 + end * c3));
  if (b1 < 0 || b2 < 0 || b3 < 0) end = firstZero(c0, c1, c2, c3, end);
  if (b1 > 1 || b2 > 1 || b3 > 1) end = firstZero(1 - c0, -c1, -c2, -c3, end);
  return end;
}

/** Linear RGB with a channel outside [0, 1] to the colour of its lightness and hue on the surface of the cube. */
export function reduceChroma(r: f64, g: f64, b: f64): void {
  const tiny = 1e-9;
  if (min(r, min(g, b)) >= -tiny && max(r, max(g, b)) <= 1 + tiny) return setMapped(r, g, b);
  const l = cbrt(m(0) * r + m(1) * g + m(2) * b);
  const c = cbrt(m(3) * r + m(4) * g + m(5) * b);
  const s = cbrt(m(6) * r + m(7) * g + m(8) * b);
  const light = m(18) * l + m(19) * c + m(20) * s;
  if (!(light > 0)) return setMapped(0, 0, 0);
  if (light >= 1) return setMapped(1, 1, 1);
  const labA = m(21) * l + m(22) * c + m(23) * s;
  const labB = m(24) * l + m(25) * c + m(26) * s;
  const toL = m(28) * labA + m(29) * labB;
  const toC = m(31) * labA + m(32) * labB;
  const toS = m(34) * labA + m(35) * labB;
  let u = stopAtFaces(0, light, toL, toC, toS, 1);
  u = stopAtFaces(3, light, toL, toC, toS, u);
  u = stopAtFaces(6, light, toL, toC, toS, u);
  const long = cube(light + toL * u);
  const middle = cube(light + toC * u);
  const short = cube(light + toS * u);
  setMapped(
    m(9) * long + m(10) * middle + m(11) * short,
    m(12) * long + m(13) * middle + m(14) * short,
    m(15) * long + m(16) * middle + m(17) * short,
  );
}
