// Numbers for vectors of f32 and f64. From memory they take the processor one instruction, from the code three.

export const ONE: i32 = 0;
export const TWO: i32 = 1;
export const THREE: i32 = 2;
export const FOUR: i32 = 3;
export const HALF: i32 = 4;
export const MINUS_TWO: i32 = 5;
export const LN_2: i32 = 6;
/** sin x / x in powers of x². */
export const SIN: i32 = 7;
/** cos x in powers of x². */
export const COS: i32 = 12;
/** ln((1 + x)/(1 − x)) / x in powers of x². */
export const LN: i32 = 18;
/** arctan x / x in powers of x². */
export const ARCTAN: i32 = 25;

const COUNT: i32 = 35;

const wide = memory.data<f64>([
  1.0, 2.0, 3.0, 4.0, 0.5, -2.0, 0.6931471805599453, 1.0, -0.16666666666666666, 0.008333333333333333,
  -0.0001984126984126984, 2.7557319223985893e-06, 1.0, -0.5, 0.041666666666666664, -0.001388888888888889,
  2.48015873015873e-05, -2.755731922398589e-07, 2.0, 0.6666666666666666, 0.4, 0.2857142857142857,
  0.2222222222222222, 0.18181818181818182, 0.15384615384615385, 1.0, -0.3333333333333333, 0.2,
  -0.14285714285714285, 0.1111111111111111, -0.09090909090909091, 0.07692307692307693, -0.06666666666666667,
  0.058823529411764705, -0.05263157894736842,
]);
/** The same as float32. */
const narrow = memory.data(4 * COUNT, 16);
for (let i = 0; i < COUNT; i++) store<f32>(narrow + (<usize>i << 2), <f32>load<f64>(wide + (<usize>i << 3)));

@inline
export function known<T>(i: i32): v128 {
  return sizeof<T>() == 8 ? v128.load64_splat(wide + (<usize>i << 3)) : v128.load32_splat(narrow + (<usize>i << 2));
}

/** Two terms of a series, those from `i` on. */
@inline
export function two<T>(i: i32, q: v128): v128 {
  return v128.add<T>(known<T>(i), v128.mul<T>(q, known<T>(i + 1)));
}

/** Four terms; they wait for one another less than one after the other would. */
@inline
export function four<T>(i: i32, q: v128, square: v128): v128 {
  return v128.add<T>(two<T>(i, q), v128.mul<T>(square, two<T>(i + 2, q)));
}
