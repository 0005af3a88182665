/**
 * The first x in (0, end] at which c0 + c1·x + c2·x² + c3·x³ comes down to 0; `end` where there is none, 0 for c0 ≤ 0.
 * As lib/colour/gamut/cubic.ts: monotone pieces between the turning points, bracketed Halley steps in the one with the root.
 */
export function firstZero(c0: f64, c1: f64, c2: f64, c3: f64, end: f64): f64 {
  if (!(c0 > 0)) return 0;
  // The derivative lies between its Bézier ordinates: where all have one sign, there is no turning point to look for.
  const d1 = c1 + c2 * end;
  const d2 = c1 + end * (2 * c2 + end * 3 * c3);
  if ((c1 < 0 && d1 < 0 && d2 < 0) || (c1 > 0 && d1 > 0 && d2 > 0)) {
    const x = zeroIn(c0, c1, c2, c3, 0, end);
    return x >= 0 ? x : end;
  }
  let from: f64 = 0;
  const discriminant = c2 * c2 - 3 * c1 * c3;
  if (discriminant > 0) {
    const q = c2 < 0 ? sqrt(discriminant) - c2 : -sqrt(discriminant) - c2;
    const one = q / (3 * c3);
    const other = c1 / q;
    const first = one < other ? one : other;
    const second = one < other ? other : one;
    if (first > 0 && first < end) {
      const x = zeroIn(c0, c1, c2, c3, from, first);
      if (x >= 0) return x;
      from = first;
    }
    if (second > 0 && second < end) {
      const x = zeroIn(c0, c1, c2, c3, from, second);
      if (x >= 0) return x;
      from = second;
    }
  }
  const x = zeroIn(c0, c1, c2, c3, from, end);
  return x >= 0 ? x : end;
}

/** The zero of a piece that is above 0 at `low` and monotone; −1 where it stays above. */
function zeroIn(c0: f64, c1: f64, c2: f64, c3: f64, low: f64, high: f64): f64 {
  const below = c0 + high * (c1 + high * (c2 + high * c3));
  if (below > 0) return -1;
  const above = c0 + low * (c1 + low * (c2 + low * c3));
  let x = low + ((high - low) * above) / (above - below);
  for (let round = 0; round < 60; round++) {
    const value = c0 + x * (c1 + x * (c2 + x * c3));
    if (value > 0) low = x;
    else high = x;
    const slope = c1 + x * (2 * c2 + x * 3 * c3);
    const bend = 2 * c2 + 6 * c3 * x;
    // Halley's step leaves an error of the order of its cube where the slope hardly changes along it. Where it does, near
    // a turning point, a short step may be far from the root, and the search goes on.
    const step = (2 * value * slope) / (2 * slope * slope - value * bend);
    const next = x - step;
    const inside = next >= low && next <= high;
    if (abs(step) <= 2e-3 * x && abs(bend * step) <= 0.1 * abs(slope)) {
      if (inside) x = next;
      break;
    }
    x = inside ? next : (low + high) / 2;
  }
  return x;
}
