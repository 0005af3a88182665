import type { Samples } from '../../plane/plane.ts';
import { STORED_BYTES, type StoredType } from './stored-type.ts';

/** How stored samples become physical values. */
export interface SampleForm {
  readonly type: StoredType;
  /** Samples from one pixel to the next, and which of them is taken. */
  readonly stride: number;
  readonly first: number;
  /** The stored value of a pixel without data. */
  readonly noData: number | undefined;
  /** Where zero is white: the value from which samples are subtracted. */
  readonly white: number | undefined;
}

let halfTable: Float32Array | undefined;

/** All 65,536 half floats (IEEE 754 binary16) by their bits. */
const halfFloats = (): Float32Array => {
  halfTable ??= Float32Array.from({ length: 65536 }, (_, bits) => {
    const exponent = (bits >> 10) & 31;
    const fraction = bits & 1023;
    const sign = bits >> 15 ? -1 : 1;
    if (exponent === 0) return sign * fraction * 2 ** -24;
    if (exponent === 31) return fraction === 0 ? sign * Number.POSITIVE_INFINITY : Number.NaN;
    return sign * (1024 + fraction) * 2 ** (exponent - 25);
  });
  return halfTable;
};

type Numbers = ArrayLike<number>;

/** Native-order bytes as numbers; `bytes` starts at a multiple of 8. */
const numbersOf = (bytes: Uint8Array, type: StoredType): Numbers => {
  const { buffer, byteOffset, length } = bytes;
  if (type === 'u8') return bytes;
  if (type === 'i8') return new Int8Array(buffer, byteOffset, length);
  if (type === 'u16') return new Uint16Array(buffer, byteOffset, length / 2);
  if (type === 'i16') return new Int16Array(buffer, byteOffset, length / 2);
  if (type === 'u32') return new Uint32Array(buffer, byteOffset, length / 4);
  if (type === 'i32') return new Int32Array(buffer, byteOffset, length / 4);
  if (type === 'f32') return new Float32Array(buffer, byteOffset, length / 4);
  if (type === 'f64') return new Float64Array(buffer, byteOffset, length / 8);
  if (type === 'i64') return Float64Array.from(new BigInt64Array(buffer, byteOffset, length / 8), Number);
  if (type === 'u64') return Float64Array.from(new BigUint64Array(buffer, byteOffset, length / 8), Number);
  const table = halfFloats();
  return Float32Array.from(new Uint16Array(buffer, byteOffset, length / 2), (bits) => table[bits]!);
};

/**
 * Pixels' samples as physical values into `into` from `at` on. Pixels of the no-data value become NaN; 64-bit integers
 * beyond 2⁵³ are rounded; infinities stay.
 */
export const toPhysical = (bytes: Uint8Array, form: SampleForm, into: Samples, at: number): void => {
  const numbers = numbersOf(bytes, form.type);
  const { stride, first, noData, white } = form;
  const pixels = numbers.length / stride;
  if (stride === 1 && noData === undefined && white === undefined) {
    into.set(numbers, at);
    return;
  }
  for (let i = 0; i < pixels; i++) {
    const value = numbers[first + i * stride]!;
    into[at + i] = value === noData ? Number.NaN : white === undefined ? value : white - value;
  }
};

/** The native-order bytes of one sample that stands for a value; zeros where there is none. */
export const sampleBytes = (type: StoredType, value: number | undefined): Uint8Array => {
  const bytes = new Uint8Array(STORED_BYTES[type]);
  if (value === undefined) return bytes;
  if (type === 'f16') new Uint16Array(bytes.buffer)[0] = Math.max(0, halfFloats().indexOf(value));
  else if (type === 'u64') new BigUint64Array(bytes.buffer)[0] = BigInt(value);
  else if (type === 'i64') new BigInt64Array(bytes.buffer)[0] = BigInt(value);
  else (numbersOf(bytes, type) as Float64Array)[0] = value;
  return bytes;
};

/** Fills native-order bytes with one sample over and over. */
export const fillSamples = (into: Uint8Array, sample: Uint8Array): void => {
  into.set(sample);
  for (let done = sample.length; done < into.length; done *= 2)
    into.copyWithin(done, 0, Math.min(done, into.length - done));
};
