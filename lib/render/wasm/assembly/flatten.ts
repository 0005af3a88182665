import { order32 } from './decode';

/** Coefficients of 1, u, u², u³ and u⁴ of a surface along one row. */
const line = memory.data(5 * 8, 16);

export function setLine(power: i32, coefficient: f64): void {
  store<f64>(line + (<usize>power << 3), coefficient);
}

/** Σ c·uⁱ at the columns whose 2x + 1 are given. */
@inline
function surfaceAt(odd: v128, width: v128): v128 {
  const u = f64x2.sub(f64x2.div(odd, width), f64x2.splat(1));
  let sum = f64x2.splat(load<f64>(line, 32));
  sum = f64x2.add(f64x2.mul(sum, u), f64x2.splat(load<f64>(line, 24)));
  sum = f64x2.add(f64x2.mul(sum, u), f64x2.splat(load<f64>(line, 16)));
  sum = f64x2.add(f64x2.mul(sum, u), f64x2.splat(load<f64>(line, 8)));
  return f64x2.add(f64x2.mul(sum, u), f64x2.splat(load<f64>(line)));
}

/**
 * Takes the surface off one row of float32 values, in float64, and leaves them little-endian. Runs over the end of the
 * row by less than 16 bytes when its width is not a multiple of four, and puts back what lay there.
 */
export function flatten(row: usize, width: i32, bigEndian: bool): void {
  const order = order32(bigEndian);
  const all = f64x2.splat(<f64>width);
  const end = row + (<usize>width << 2);
  const low = load<u64>(end);
  const high = load<u64>(end, 8);
  let odd = f64x2(1, 3);
  const four = f64x2.splat(4);
  for (let at = row; at < end; at += 16) {
    const x = i8x16.swizzle(v128.load(at), order);
    const left = f64x2.sub(f64x2.promote_low_f32x4(x), surfaceAt(odd, all));
    odd = f64x2.add(odd, four);
    const right = f64x2.sub(f64x2.promote_low_f32x4(v128.shuffle<f32>(x, x, 2, 3, 2, 3)), surfaceAt(odd, all));
    odd = f64x2.add(odd, four);
    const both = v128.shuffle<f32>(f32x4.demote_f64x2_zero(left), f32x4.demote_f64x2_zero(right), 0, 1, 4, 5);
    v128.store(at, both);
  }
  store<u64>(end, low);
  store<u64>(end, high, 8);
}
