import { formatError } from '../../plane/errors.ts';
import type { SampleType } from '../../plane/plane.ts';
import { EXPORT_AGAIN, type Header, numberOf } from './header.ts';

/** From stored to physical: value = zero + scale · stored (FITS standard 4.0, section 4.4.2). */
export interface Scaling {
  readonly zero: number;
  readonly scale: number;
  /** The stored integer that marks an undefined pixel; exact, hence a bigint. */
  readonly blank: bigint | undefined;
  /** Type of the physical values. */
  readonly type: SampleType;
  /** The largest physical value the stored integers can reach; undefined for floats. */
  readonly fullScale: number | undefined;
  readonly warnings: readonly string[];
}

/** The type in which BITPIX stores samples. */
export const STORED_TYPE: Readonly<Record<number, SampleType>> = {
  8: 'u8',
  16: 'i16',
  32: 'i32',
  64: 'i64',
  [-32]: 'f32',
  [-64]: 'f64',
};

/** BZERO that turns the standard's signedness of a BITPIX around, and the type it gives. */
const TURNED: Readonly<Record<number, readonly [zero: number, type: SampleType]>> = {
  8: [-128, 'i8'],
  16: [2 ** 15, 'u16'],
  32: [2 ** 31, 'u32'],
  // Unsigned 64-bit integers have no sample type of their own; beyond 2^53 both float64 and this rounds.
  64: [2 ** 63, 'f64'],
};

/**
 * BZERO, BSCALE and BLANK of a header whose samples are stored as `bitpix` says.
 * BLANK compares with the stored integer, before scaling; for floats it is ignored with a warning (NaN does its work).
 * @throws LinewashError 'format' where they are no numbers, or BSCALE is 0.
 */
export const readScaling = (file: string, header: Header, bitpix: number): Scaling => {
  const zero = numberOf(file, header, 'BZERO') ?? 0;
  const scale = numberOf(file, header, 'BSCALE') ?? 1;
  if (scale === 0) throw formatError(file, 'BSCALE is 0, which makes all pixels equal', EXPORT_AGAIN);
  const warnings: string[] = [];
  const blank = readBlank(header, 'BLANK', bitpix, warnings);
  const plain = zero === 0 && scale === 1;
  if (bitpix < 0) {
    if (!plain) warnings.push(`BZERO ${zero} and BSCALE ${scale} are applied to floating-point pixels`);
    return { zero, scale, blank, type: plain ? STORED_TYPE[bitpix]! : 'f64', fullScale: undefined, warnings };
  }
  if (bitpix === 64) warnings.push('64-bit integers are read as float64: values beyond 2^53 are rounded');
  return {
    zero,
    scale,
    blank,
    type: integerType(bitpix, zero, scale),
    fullScale: fullScaleOf(bitpix, zero, scale),
    warnings,
  };
};

/** The integer that `keyword` names as undefined; undefined where absent, not an integer or meaningless. */
export const readBlank = (header: Header, keyword: string, bitpix: number, warnings: string[]): bigint | undefined => {
  const card = header.byKeyword.get(keyword);
  if (card === undefined || card.text === '') return undefined;
  if (bitpix < 0) {
    warnings.push(`${keyword} is ignored: it has no meaning for floating-point pixels`);
    return undefined;
  }
  if (/^[+-]?\d+$/.test(card.text)) return BigInt(card.text.replace('+', ''));
  if (typeof card.value === 'number' && Number.isSafeInteger(card.value)) return BigInt(card.value);
  warnings.push(`${keyword} is ignored: "${card.text.slice(0, 40)}" is no integer`);
  return undefined;
};

const integerType = (bitpix: number, zero: number, scale: number): SampleType => {
  if (zero === 0 && scale === 1) return STORED_TYPE[bitpix]!;
  const [turn, type] = TURNED[bitpix]!;
  if (zero === turn && scale === 1) return type;
  return bitpix <= 16 && staysExact(zero, scale) ? 'f32' : 'f64';
};

/**
 * Whether float32 holds every zero + scale · k of 16-bit integers k: multiples of a power of two below 2²⁴ of it. Rounding
 * others would cost what a small scale on a large zero is there to keep.
 */
const staysExact = (zero: number, scale: number): boolean => {
  const step = Math.abs(scale);
  const steps = zero / step;
  return (
    Math.log2(step) % 1 === 0 &&
    2 ** Math.log2(step) === step &&
    Number.isInteger(steps) &&
    Math.abs(steps) < 2 ** 24 - 2 ** 16
  );
};

const fullScaleOf = (bitpix: number, zero: number, scale: number): number => {
  const low = bitpix === 8 ? 0 : -(2 ** (bitpix - 1));
  const high = bitpix === 8 ? 255 : 2 ** (bitpix - 1) - 1;
  return Math.max(zero + scale * low, zero + scale * high);
};
