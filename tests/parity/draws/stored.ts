import type { Dice } from './dice.ts';

/** How a file stores a sample, as FITS and TIFF know it. */
export type Stored = 'u8' | 'i8' | 'u16' | 'i16' | 'u32' | 'i32' | 'i64' | 'f16' | 'f32' | 'f64';

export const BYTES: Readonly<Record<Stored, number>> = {
  u8: 1,
  i8: 1,
  u16: 2,
  i16: 2,
  u32: 4,
  i32: 4,
  i64: 8,
  f16: 2,
  f32: 4,
  f64: 8,
};

export const isFloat = (type: Stored): boolean => type.startsWith('f');

/** The least and the greatest number of an integer type; of 64 bits those that float64 holds exactly. */
export const endsOf = (type: Stored): [number, number] => {
  const bits = type === 'i64' ? 54 : 8 * BYTES[type];
  return type.startsWith('u') ? [0, 2 ** bits - 1] : [-(2 ** (bits - 1)), 2 ** (bits - 1) - 1];
};

/** A half float (IEEE 754 binary16) from its bits. */
export const halfOf = (bits: number): number => {
  const sign = bits & 0x8000 ? -1 : 1;
  const exponent = (bits >> 10) & 31;
  const fraction = bits & 1023;
  if (exponent === 31) return fraction ? Number.NaN : sign * Number.POSITIVE_INFINITY;
  return exponent === 0 ? sign * fraction * 2 ** -24 : sign * (1 + fraction / 1024) * 2 ** (exponent - 15);
};

const HALVES = Float64Array.from({ length: 0x7c00 }, (_, bits) => halfOf(bits));

/** The bits of the nearest half float towards zero. */
const halfBits = (value: number): number => {
  if (Number.isNaN(value)) return 0x7e00;
  const size = Math.abs(value);
  const sign = value < 0 || Object.is(value, -0) ? 0x8000 : 0;
  if (size > HALVES[HALVES.length - 1]!) return sign | 0x7c00;
  let [low, high] = [0, HALVES.length];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (HALVES[middle]! <= size) low = middle;
    else high = middle;
  }
  return sign | low;
};

export const writeSample = (view: DataView, at: number, type: Stored, value: number, little: boolean): void => {
  if (type === 'u8') view.setUint8(at, value);
  else if (type === 'i8') view.setInt8(at, value);
  else if (type === 'u16') view.setUint16(at, value, little);
  else if (type === 'i16') view.setInt16(at, value, little);
  else if (type === 'u32') view.setUint32(at, value, little);
  else if (type === 'i32') view.setInt32(at, value, little);
  else if (type === 'i64') view.setBigInt64(at, BigInt(value), little);
  else if (type === 'f16') view.setUint16(at, halfBits(value), little);
  else if (type === 'f32') view.setFloat32(at, value, little);
  else view.setFloat64(at, value, little);
};

/** The number that is read back where `value` was written. */
export const asStored = (type: Stored, value: number): number => {
  if (type === 'f16') return halfOf(halfBits(value));
  if (type === 'f32') return Math.fround(value);
  return value;
};

/** Where the values of a master lie: a sky, its noise, and light above it. */
interface Lie {
  readonly sky: number;
  readonly noise: number;
  readonly light: number;
}

/** Numbers as a file of this type holds them: sky with noise, light above it, and the ends of what the type can say. */
export const drawStored = (dice: Dice, type: Stored, count: number): number[] => {
  const lie = isFloat(type) ? floatLie(dice, type) : integerLie(dice, type);
  const odd = dice.pick([0, 0.02, 0.2]);
  return Array.from({ length: count }, () => {
    const raw = dice.chance(odd) ? oddValue(dice, type) : lie.sky + lie.noise * dice.normal() + lightOf(dice, lie);
    return isFloat(type) ? asStored(type, raw) : inside(type, Math.round(raw));
  });
};

const lightOf = (dice: Dice, { light }: Lie): number => {
  const kind = dice.unit();
  if (kind < 0.4) return 0;
  return kind < 0.8 ? light * dice.unit() ** 3 : light * dice.scale(1e-7, 2);
};

const inside = (type: Stored, value: number): number => {
  const [low, high] = endsOf(type);
  return Math.min(high, Math.max(low, value));
};

const integerLie = (dice: Dice, type: Stored): Lie => {
  const [low, high] = endsOf(type);
  const light = (high - low) * dice.pick([1, 0.3, 0.02]);
  return { sky: low + (high - low) * dice.pick([0, 0.01, 0.3]), noise: light * dice.pick([0, 1e-3, 0.05]), light };
};

const floatLie = (dice: Dice, type: Stored): Lie => {
  const light = type === 'f16' ? dice.scale(1e-2, 3e4) : dice.chance(0.7) ? 1 : dice.scale(1e-16, 1e9);
  // A pedestal that the type still resolves.
  const pedestal = light * dice.pick([0, 0.1, 1, type === 'f64' ? 1e6 : 30]);
  return { sky: dice.pick([-1, 1, 1]) * pedestal, noise: light * dice.pick([0, 1e-3, 0.05]), light };
};

const oddValue = (dice: Dice, type: Stored): number => {
  if (!isFloat(type)) return dice.pick([...endsOf(type), 0, 1]);
  return dice.pick([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0, -0, 1, -1, 1e-7]);
};
