import { quantise } from '../../colour/encode.ts';
import type { Space } from '../../colour/space.ts';

/** Tables that bring linear light to 8-bit display codes exactly as `quantise(encode(light), 255)` does. */
export interface CodeTables {
  /** The code of the least number of each cell: numbers that share the upper 16 bits of their float32. */
  readonly cells: Uint8Array<ArrayBuffer>;
  /** Which cell comes first: all smaller numbers have code 0. */
  readonly first: number;
  /** The least light of each code, and one that none reaches. */
  readonly leasts: Float32Array<ArrayBuffer>;
}

const word = new Uint32Array(1);
const real = new Float32Array(word.buffer);

const numberOf = (bits: number): number => {
  word[0] = bits;
  return real[0]!;
};

const bitsOf = (value: number): number => {
  real[0] = value;
  return word[0]!;
};

const known = new Map<string, CodeTables>();

export const codeTables = (space: Space): CodeTables => {
  const before = known.get(space.transfer);
  if (before !== undefined) return before;
  const codeOf = (light: number) => quantise(space.encode(light), 255);
  const leasts = new Float32Array(257).fill(Number.POSITIVE_INFINITY);
  for (let code = 0; code < 256; code++) leasts[code] = leastOf(code, codeOf);
  const first = bitsOf(leasts[1]!) >>> 16;
  const cells = Uint8Array.from({ length: (bitsOf(1) >>> 16) - first + 1 }, (_, i) =>
    codeOf(numberOf((first + i) << 16)),
  );
  const made = { cells, first, leasts };
  known.set(space.transfer, made);
  return made;
};

/** The least float32 ≥ 0 that has a code, found by halving the range of their bits, which sort like the numbers. */
const leastOf = (code: number, codeOf: (light: number) => number): number => {
  let low = -1;
  let high = bitsOf(1);
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (codeOf(numberOf(middle)) >= code) high = middle;
    else low = middle;
  }
  return numberOf(high);
};
