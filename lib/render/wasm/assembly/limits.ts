import { blue, green, red } from './channel';
import { mappedB, mappedG, mappedR, reduceChroma } from './chroma';
import { decode, encode } from './transfer';

// Highlights and gamut: what happens to colours outside [0, 1].

/** One colour outside the range, `at` bytes into the planes. */
function mapOne(at: usize, display: bool): void {
  let r = <f64>load<f32>(red + at);
  let g = <f64>load<f32>(green + at);
  let b = <f64>load<f32>(blue + at);
  if (display) {
    r = decode(r);
    g = decode(g);
    b = decode(b);
  }
  reduceChroma(r, g, b);
  store<f32>(red + at, <f32>(display ? encodeMapped(mappedR) : mappedR));
  store<f32>(green + at, <f32>(display ? encodeMapped(mappedG) : mappedG));
  store<f32>(blue + at, <f32>(display ? encodeMapped(mappedB) : mappedB));
}

/** On the surface of the cube one channel at least is 0 or 1. */
@inline
function encodeMapped(light: f64): f64 {
  return light <= 0 || light >= 1 ? light : encode(light);
}

/** Brings colours brighter than the range back (by ratio, or cut), then reduces the chroma of those with a negative channel. */
export function limit(ratio: bool, reduces: bool, display: bool, count: i32): void {
  const one = f32x4.splat(1);
  const zero = f32x4.splat(0);
  const end = (<usize>count) << 2;
  for (let i: usize = 0; i < end; i += 16) {
    const r = v128.load(red + i);
    const g = v128.load(green + i);
    const b = v128.load(blue + i);
    const most = f32x4.pmax(f32x4.pmax(r, g), b);
    const over = f32x4.gt(most, one);
    if (v128.any_true(over)) {
      const divisor = v128.bitselect(most, one, over);
      v128.store(red + i, ratio ? f32x4.div(r, divisor) : f32x4.pmin(r, one));
      v128.store(green + i, ratio ? f32x4.div(g, divisor) : f32x4.pmin(g, one));
      v128.store(blue + i, ratio ? f32x4.div(b, divisor) : f32x4.pmin(b, one));
    }
    const below = i32x4.bitmask(f32x4.lt(f32x4.pmin(f32x4.pmin(r, g), b), zero));
    if (below == 0 || !reduces) continue;
    for (let lane: usize = 0; lane < 4; lane++) if (below & (1 << (<i32>lane))) mapOne(i + (lane << 2), display);
  }
}
