const word = new Uint32Array(1);
const real = new Float32Array(word.buffer);

/** A number of 32 bits that sorts as the float32 nearest to `value` does. −0 and 0 share one. */
export const keyOf = (value: number): number => {
  real[0] = value;
  const bits = real[0] === 0 ? 0 : word[0]!;
  return bits & 0x80000000 ? ~bits >>> 0 : (bits | 0x80000000) >>> 0;
};

/** The float32 of a key. */
export const numberOf = (key: number): number => {
  word[0] = key & 0x80000000 ? key & 0x7fffffff : ~key;
  return real[0]!;
};

/** Upper and lower half of a key. */
export const binAndPlace = (value: number): { bin: number; place: number } => {
  const key = keyOf(value);
  return { bin: key >>> 16, place: key & 0xffff };
};
