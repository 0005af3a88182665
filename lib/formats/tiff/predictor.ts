const LITTLE_ENDIAN_MACHINE = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1;

/** Reverses the bytes of each sample of `size` bytes, in place; `bytes` starts at a multiple of `size` in its buffer. */
export const reverseSamples = (bytes: Uint8Array, size: number): void => {
  const { buffer, byteOffset, length } = bytes;
  if (size === 2) {
    const words = new Uint16Array(buffer, byteOffset, length / 2);
    for (let i = 0; i < words.length; i++) words[i] = (words[i]! << 8) | (words[i]! >>> 8);
    return;
  }
  if (size === 4) {
    const words = new Uint32Array(buffer, byteOffset, length / 4);
    for (let i = 0; i < words.length; i++) {
      const word = words[i]!;
      words[i] = (word << 24) | ((word & 0xff00) << 8) | ((word >>> 8) & 0xff00) | (word >>> 24);
    }
    return;
  }
  for (let start = 0; start < bytes.length; start += size)
    for (let i = start, j = start + size - 1; i < j; i++, j--) {
      const low = bytes[i]!;
      bytes[i] = bytes[j]!;
      bytes[j] = low;
    }
};

/** Brings samples from the file's byte order to the machine's, in place, as `reverseSamples`. */
export const toNativeOrder = (bytes: Uint8Array, size: number, littleEndian: boolean): void => {
  if (littleEndian !== LITTLE_ENDIAN_MACHINE && size > 1) reverseSamples(bytes, size);
};

type Unsigned = Uint8Array | Uint16Array | Uint32Array;

const accumulate = (row: Unsigned, stride: number): void => {
  for (let i = stride; i < row.length; i++) row[i] = row[i]! + row[i - stride]!;
};

const accumulate64 = (row: BigUint64Array, stride: number): void => {
  for (let i = stride; i < row.length; i++) row[i] = row[i]! + row[i - stride]!;
};

/**
 * Undoes horizontal differencing (predictor 2, TIFF 6.0 §14) in one row of native-order samples: sums modulo 2^bits,
 * whatever the bits stand for.
 */
export const undoDifferences = (row: Uint8Array, size: number, stride: number): void => {
  const count = row.length / size;
  if (size === 1) accumulate(row, stride);
  else if (size === 2) accumulate(new Uint16Array(row.buffer, row.byteOffset, count), stride);
  else if (size === 4) accumulate(new Uint32Array(row.buffer, row.byteOffset, count), stride);
  else accumulate64(new BigUint64Array(row.buffer, row.byteOffset, count), stride);
};

/**
 * Undoes the floating point predictor (3, TIFF Technical Note 3, 2005) in one row: the row was cut into planes of bytes,
 * most significant plane first, then differenced bytewise. Samples end with their bytes in the order of the planes: for
 * planes as the note defines them that is big-endian, whatever the file's byte order.
 */
export const undoFloatPlanes = (row: Uint8Array, size: number, stride: number): void => {
  accumulate(row, stride);
  const planes = row.slice();
  const count = row.length / size;
  for (let plane = 0; plane < size; plane++) {
    const from = plane * count;
    for (let i = 0; i < count; i++) row[i * size + plane] = planes[from + i]!;
  }
};
