// The matrices of a space for vectors of f32 and f64: linear RGB → LMS, LMS → RGB, cube-rooted LMS → OKLab, and back.

const wide = memory.data(36 * 8, 8);
const narrow = memory.data(36 * 4, 4);

export function setMatrixEntry(i: i32, value: f64): void {
  store<f64>(wide + (<usize>i << 3), value);
  store<f32>(narrow + (<usize>i << 2), <f32>value);
}

@inline
export function m(i: i32): f64 {
  return load<f64>(wide + (<usize>i << 3));
}

/** One entry in all lanes. */
@inline
export function entry<T>(i: i32): v128 {
  return sizeof<T>() == 8 ? v128.load64_splat(wide + (<usize>i << 3)) : v128.load32_splat(narrow + (<usize>i << 2));
}

/** A row of a matrix, the entries from `i` on, times a column. */
@inline
export function row<T>(i: i32, x: v128, y: v128, z: v128): v128 {
  const first = v128.mul<T>(entry<T>(i), x);
  return v128.add<T>(v128.add<T>(first, v128.mul<T>(entry<T>(i + 1), y)), v128.mul<T>(entry<T>(i + 2), z));
}

@inline
export function cube<T>(x: v128): v128 {
  return v128.mul<T>(v128.mul<T>(x, x), x);
}
