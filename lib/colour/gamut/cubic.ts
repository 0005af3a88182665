/**
 * Moves `end` to the first x in (0, end] where c0 + c1·x + c2·x² + c3·x³ comes down to 0; leaves it if there is none.
 * `cubic` holds c0, c1, c2, c3, end (numbers in an array are not boxed at each call, arguments are) and must be
 * finite; c0 ≤ 0 gives 0. Exact to rounding: the cubic is cut into monotone pieces at its turning points, and the
 * first piece that ends at or below 0 holds the root.
 */
export const moveToFirstZero = (cubic: Float64Array): void => {
  const c0 = cubic[0]!;
  const c1 = cubic[1]!;
  const c2 = cubic[2]!;
  const c3 = cubic[3]!;
  const end = cubic[4]!;
  if (!(c0 > 0)) {
    cubic[4] = 0;
    return;
  }
  let from = 0;
  const discriminant = c2 * c2 - 3 * c1 * c3;
  if (discriminant > 0) {
    // The two turning points, by the form of the quadratic's roots that loses no digits.
    const q = c2 < 0 ? Math.sqrt(discriminant) - c2 : -Math.sqrt(discriminant) - c2;
    const one = q / (3 * c3);
    const other = c1 / q;
    const first = Math.min(one, other);
    const second = Math.max(one, other);
    if (first > 0 && first < end) {
      if (endsBelow(cubic, from, first)) return;
      from = first;
    }
    if (second > 0 && second < end) {
      if (endsBelow(cubic, from, second)) return;
      from = second;
    }
  }
  endsBelow(cubic, from, end);
};

/** Whether a monotone piece that starts above 0 at `low` is at most 0 at `high`; if so, its zero becomes the end. */
const endsBelow = (cubic: Float64Array, low: number, high: number): boolean => {
  const c0 = cubic[0]!;
  const c1 = cubic[1]!;
  const c2 = cubic[2]!;
  const c3 = cubic[3]!;
  const below = c0 + high * (c1 + high * (c2 + high * c3));
  if (below > 0) return false;
  const above = c0 + low * (c1 + low * (c2 + low * c3));
  // Bracketed Newton from the chord. A step from near a turning point is long, leaves the bracket and is replaced by
  // halving (Halley's would be short and look like an arrival). Four steps are usual; 60 halvings always suffice.
  let x = low + ((high - low) * above) / (above - below);
  for (let round = 0; round < 60; round++) {
    const value = c0 + x * (c1 + x * (c2 + x * c3));
    if (value > 0) low = x;
    else high = x;
    const step = value / (c1 + x * (2 * c2 + x * 3 * c3));
    const next = x - step;
    const inside = next >= low && next <= high;
    // The error after a Newton step is of the order of the step squared: this one ends at the last bit.
    if (Math.abs(step) <= 1e-9 * x) {
      if (inside) x = next;
      break;
    }
    x = inside ? next : (low + high) / 2;
  }
  cubic[4] = x;
  return true;
};
