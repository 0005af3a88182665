/**
 * The first x in (0, end] where c0 + c1·x + c2·x² + c3·x³ reaches 0 from above, or `end` if it stays above.
 * Needs c0 > 0 (c0 ≤ 0 gives 0) and finite coefficients. Exact to rounding: the cubic is cut into monotone pieces at
 * its turning points, and the first piece that ends at or below 0 holds the root.
 */
export const firstZero = (c0: number, c1: number, c2: number, c3: number, end: number): number => {
  if (!(c0 > 0)) return 0;
  let from = 0;
  const discriminant = c2 * c2 - 3 * c1 * c3;
  if (discriminant > 0) {
    // The two turning points, by the form of the quadratic's roots that loses no digits.
    const q = c2 < 0 ? Math.sqrt(discriminant) - c2 : -Math.sqrt(discriminant) - c2;
    const one = q / (3 * c3);
    const other = c1 / q;
    const first = one < other ? one : other;
    const second = one < other ? other : one;
    if (first > 0 && first < end) {
      if (valueAt(c0, c1, c2, c3, first) <= 0) return zeroBetween(c0, c1, c2, c3, from, first);
      from = first;
    }
    if (second > 0 && second < end) {
      if (valueAt(c0, c1, c2, c3, second) <= 0) return zeroBetween(c0, c1, c2, c3, from, second);
      from = second;
    }
  }
  return valueAt(c0, c1, c2, c3, end) <= 0 ? zeroBetween(c0, c1, c2, c3, from, end) : end;
};

const valueAt = (c0: number, c1: number, c2: number, c3: number, x: number): number => c0 + x * (c1 + x * (c2 + x * c3));

/** The zero of a cubic that falls monotonically from above 0 at `low` to at most 0 at `high`: bracketed Newton. */
const zeroBetween = (c0: number, c1: number, c2: number, c3: number, low: number, high: number): number => {
  const above = valueAt(c0, c1, c2, c3, low);
  const below = valueAt(c0, c1, c2, c3, high);
  let x = low + ((high - low) * above) / (above - below);
  // 60 halvings reach the last bit from any bracket; Newton needs about four steps.
  for (let round = 0; round < 60; round++) {
    const value = valueAt(c0, c1, c2, c3, x);
    if (value > 0) low = x;
    else high = x;
    const step = value / (c1 + x * (2 * c2 + x * 3 * c3));
    const next = x - step;
    const size = step < 0 ? -step : step;
    // The error after a Newton step is of the order of the step squared: this one ends at the last bit.
    if (size <= 1e-9 * x) return next >= low && next <= high ? next : x;
    x = next > low && next < high ? next : (low + high) / 2;
  }
  return x;
};
