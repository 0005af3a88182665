/** One array that holds several: how many there are, how long each is, and their values. */
export const joined = (parts: readonly ArrayLike<number>[]): Float32Array<ArrayBuffer> => {
  const packed = new Float32Array(1 + parts.length + parts.reduce((sum, { length }) => sum + length, 0));
  packed[0] = parts.length;
  let at = 1 + parts.length;
  for (const [i, part] of parts.entries()) {
    packed[1 + i] = part.length;
    packed.set(part, at);
    at += part.length;
  }
  return packed;
};

/** The arrays again, in the memory of the one. */
export const parted = (packed: Float32Array): Float32Array[] => {
  const count = packed[0]!;
  let at = 1 + count;
  return Array.from({ length: count }, (_, i) => {
    const start = at;
    at += packed[1 + i]!;
    return packed.subarray(start, at);
  });
};
