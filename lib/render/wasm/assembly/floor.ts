// Cone responses that are negative or nearly so are drawn towards grey, as lib/colour/gamut/smooth.ts; see there.

const LONG: f64 = 0.2;
const MIDDLE: f64 = 0.7;
const SHORT: f64 = 0.1;
const FLOOR: f64 = 0.1;

/** The grey of two colours, where that is above black; else 0. */
@inline
export function greyOf(l: v128, c: v128, s: v128): v128 {
  const long = f64x2.mul(f64x2.splat(LONG), l);
  const middle = f64x2.mul(f64x2.splat(MIDDLE), c);
  const grey = f64x2.add(f64x2.add(long, middle), f64x2.mul(f64x2.splat(SHORT), s));
  return f64x2.pmax(grey, f64x2.splat(0));
}

/** The share of their distance from that grey that two colours keep: 1 where no response is below its floor. */
@inline
export function keptOf(grey: v128, l: v128, c: v128, s: v128): v128 {
  const below = f64x2.pmax(f64x2.splat(0), f64x2.sub(grey, f64x2.pmin(f64x2.pmin(l, c), s)));
  const kept = f64x2.div(f64x2.mul(f64x2.splat(1 - FLOOR), grey), below);
  // A grey is 0 below itself, and black 0 above 0: pmin then gives its first operand.
  return f64x2.pmin(f64x2.splat(1), kept);
}

@inline
export function drawn(grey: v128, kept: v128, x: v128): v128 {
  return f64x2.add(grey, f64x2.mul(kept, f64x2.sub(x, grey)));
}
