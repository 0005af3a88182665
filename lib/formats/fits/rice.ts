/** Parameters of RICE_1 tiles (FITS standard 4.0, section 10.4.1). */
export interface RiceShape {
  /** Pixels coded with one parameter. */
  readonly blockSize: number;
  /** Bytes of the integers before compression: 1 (unsigned), 2 or 4. */
  readonly bytesPerPixel: 1 | 2 | 4;
}

/** Bits of the parameter that leads a block, the parameter that means "not coded", and the bits of a pixel then. */
const CODING = { 1: [3, 6, 8], 2: [4, 14, 16], 4: [5, 25, 32] } as const;

/**
 * Fewest bytes that `count` pixels can take: each block has at least its parameter.
 * Asked before memory is taken for the pixels.
 */
export const riceMinimum = (count: number, shape: RiceShape): number =>
  Math.floor((Math.ceil(count / shape.blockSize) * CODING[shape.bytesPerPixel][0]) / 8) + shape.bytesPerPixel;

/**
 * Decodes `count` pixels: the first pixel in full, then blocks of differences, each mapped to even (≥ 0) or odd (< 0)
 * and split into a unary high part and `shift` low bits (Rice 1979; FITS standard 4.0, section 10.4.1).
 * Sums wrap around as the pixel type does.
 * @returns false where the bytes end early or are no such code.
 */
export const decodeRice = (bytes: Uint8Array, count: number, shape: RiceShape, into: Int32Array): boolean => {
  const [parameterBits, uncoded, pixelBits] = CODING[shape.bytesPerPixel];
  if (bytes.length < shape.bytesPerPixel) return false;
  const reader: BitReader = { bytes, at: shape.bytesPerPixel, bits: 0, bitCount: 0 };
  for (let i = 0; i < count; ) {
    const end = Math.min(count, i + shape.blockSize);
    const shift = takeBits(reader, parameterBits) - 1;
    if (shift < 0) into.fill(0, i, end);
    else if (shift < uncoded) takeCoded(reader, shift, into, i, end);
    else if (shift === uncoded) for (let k = i; k < end; k++) into[k] = takeBits(reader, pixelBits);
    else return false;
    if (reader.at > bytes.length) return false;
    i = end;
  }
  integrate(into, count, firstPixel(bytes, shape.bytesPerPixel), 32 - pixelBits);
  if (shape.bytesPerPixel === 1) for (let i = 0; i < count; i++) into[i]! &= 0xff;
  return true;
};

/** Reads bits, highest first; past the end it reads zeros and `at` runs beyond the length. */
interface BitReader {
  readonly bytes: Uint8Array;
  at: number;
  /** The lowest `bitCount` bits are yet unread, the rest is zero. */
  bits: number;
  bitCount: number;
}

const nextByte = (bytes: Uint8Array, at: number): number => (at < bytes.length ? bytes[at]! : 0);

const takeBits = (reader: BitReader, count: number): number => {
  if (count > 16) return (takeBits(reader, count - 16) << 16) | takeBits(reader, 16);
  for (; reader.bitCount < count; reader.bitCount += 8)
    reader.bits = (reader.bits << 8) | nextByte(reader.bytes, reader.at++);
  reader.bitCount -= count;
  const value = reader.bits >>> reader.bitCount;
  reader.bits &= (1 << reader.bitCount) - 1;
  return value;
};

const takeCoded = (reader: BitReader, shift: number, into: Int32Array, from: number, to: number): void => {
  const { bytes } = reader;
  let { at, bits, bitCount } = reader;
  for (let i = from; i < to; i++) {
    let high = 0;
    for (; bits === 0 && at <= bytes.length; bitCount = 8) {
      high += bitCount;
      bits = nextByte(bytes, at++);
    }
    const zeros = Math.clz32(bits) - 32 + bitCount;
    high += zeros;
    bitCount -= zeros + 1;
    bits &= (1 << bitCount) - 1;
    for (; bitCount < shift; bitCount += 8) bits = (bits << 8) | nextByte(bytes, at++);
    bitCount -= shift;
    into[i] = (high << shift) | (bits >>> bitCount);
    bits &= (1 << bitCount) - 1;
    if (at > bytes.length) break;
  }
  Object.assign(reader, { at, bits, bitCount });
};

/** The first pixel is stored big-endian. */
const firstPixel = (bytes: Uint8Array, count: number): number => {
  let value = 0;
  for (let i = 0; i < count; i++) value = (value << 8) | bytes[i]!;
  return value;
};

/** Turns mapped differences into pixels; `spare` is how many bits of 32 the pixel type leaves free. */
const integrate = (values: Int32Array, count: number, first: number, spare: number): void => {
  let last = first;
  for (let i = 0; i < count; i++) {
    const mapped = values[i]!;
    last = ((last + (mapped & 1 ? ~(mapped >>> 1) : mapped >>> 1)) << spare) >> spare;
    values[i] = last;
  }
};
