const LITTLE_ENDIAN_MACHINE = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1;

/** Brings samples of `size` bytes from the file's byte order to the machine's, in place. */
export const toNativeOrder = (bytes: Uint8Array, size: number, littleEndian: boolean): void => {
  if (littleEndian === LITTLE_ENDIAN_MACHINE || size === 1) return;
  if (size === 2) {
    for (let i = 0; i + 1 < bytes.length; i += 2) {
      const low = bytes[i]!;
      bytes[i] = bytes[i + 1]!;
      bytes[i + 1] = low;
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
 * Undoes the floating point predictor (3, TIFF Technical Note 3, 2005) in one row, which ends in native order.
 * The note defines the row as planes of bytes, most significant plane first, then differenced bytewise. The planes'
 * order is that of the predictor itself: a file's byte order does not enter, and libtiff and tifffile agree on that, so
 * big-endian files decode alike.
 */
export const undoFloatPlanes = (row: Uint8Array, size: number, stride: number): void => {
  accumulate(row, stride);
  const planes = row.slice();
  const count = row.length / size;
  for (let plane = 0; plane < size; plane++) {
    const place = LITTLE_ENDIAN_MACHINE ? size - 1 - plane : plane;
    const from = plane * count;
    for (let i = 0; i < count; i++) row[i * size + place] = planes[from + i]!;
  }
};
