/** How floats were turned into integers before compression (FITS standard 4.0, section 10.2). */
export type Quantizing = 'NO_DITHER' | 'SUBTRACTIVE_DITHER_1' | 'SUBTRACTIVE_DITHER_2';

export interface Quantized {
  readonly scale: number;
  readonly zero: number;
  /** The integer that stands for an undefined pixel. */
  readonly blank: number | undefined;
  readonly method: Quantizing;
  /** Where the tile's random numbers begin: (tile index, 0-based, + ZDITHER0 − 1) mod 10000. */
  readonly seed: number;
}

const COUNT = 10_000;
/** SUBTRACTIVE_DITHER_2 keeps exact zeros as this integer. */
const EXACT_ZERO = -2147483646;

let numbers: Float32Array | undefined;

/** The standard's 10000 random numbers (Park & Miller 1988, multiplier 16807; FITS standard 4.0, appendix I), as float32. */
export const randomNumbers = (): Float32Array => {
  if (numbers) return numbers;
  numbers = new Float32Array(COUNT);
  let seed = 1;
  for (let i = 0; i < COUNT; i++) {
    seed = (16807 * seed) % 2147483647;
    numbers[i] = seed / 2147483647;
  }
  return numbers;
};

/** First of the numbers used from a place of the table: up to 499 places into it. */
const startOf = (random: Float32Array, seed: number): number => Math.trunc(Math.fround(random[seed]! * 500));

/**
 * into[i] = (stored[i] − r + 1/2) · scale + zero with the standard's r (without dither: stored[i] · scale + zero),
 * computed in float64; blanks become NaN.
 */
export const unquantize = (
  stored: Int32Array,
  count: number,
  quantized: Quantized,
  into: Float32Array | Float64Array,
): void => {
  const { scale, zero, method } = quantized;
  // No integer of 32 bits equals NaN.
  const blank = quantized.blank ?? Number.NaN;
  if (method === 'NO_DITHER') {
    for (let i = 0; i < count; i++) into[i] = stored[i] === blank ? Number.NaN : stored[i]! * scale + zero;
    return;
  }
  const random = randomNumbers();
  const exactZero = method === 'SUBTRACTIVE_DITHER_2' ? EXACT_ZERO : Number.NaN;
  let seed = quantized.seed;
  let next = startOf(random, seed);
  for (let i = 0; i < count; i++) {
    const value = stored[i]!;
    if (value === blank) into[i] = Number.NaN;
    else if (value === exactZero) into[i] = 0;
    else into[i] = (value - random[next]! + 0.5) * scale + zero;
    if (++next === COUNT) {
      seed = (seed + 1) % COUNT;
      next = startOf(random, seed);
    }
  }
};
