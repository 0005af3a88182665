import type { StuffedBits } from './bits.ts';
import { CODES, codeWords, STEPS, ZIGZAG } from './tables.ts';
import { perStep, transform } from './transform.ts';

/** Fifteen zeros and one more (§F.1.2.2.1), and the end of a block before its last coefficient. */
const SIXTEEN_ZEROS = 0xf0;
const NO_MORE = 0;

const bitsOf = (value: number): number => 32 - Math.clz32(value < 0 ? -value : value);

/** A code word, then the bits of a value of that size: those of v − 1 where it is negative (§F.1.2.1). */
const putValue = (bits: StuffedBits, word: number, value: number, size: number): void => {
  bits.put(word & 0xffff, word >> 16);
  if (size > 0) bits.put((value < 0 ? value - 1 : value) & ((1 << size) - 1), size);
};

/** Codes blocks of one component, each against the one before it. */
export const blockCoder = (kind: keyof typeof STEPS, bits: StuffedBits) => {
  const scale = perStep(STEPS[kind]);
  const first = codeWords(CODES[kind].first);
  const rest = codeWords(CODES[kind].rest);
  const values = new Int32Array(64);
  let before = 0;
  return {
    /** Forgets the block before. */
    restart(): void {
      before = 0;
    },
    /** @param block 8 × 8 samples around 0, which are overwritten */
    put(block: Float64Array): void {
      transform(block);
      let last = 0;
      for (let i = 0; i < 64; i++) {
        const place = ZIGZAG[i]!;
        const value = Math.round(block[place]! * scale[place]!);
        values[i] = value;
        if (value !== 0) last = i;
      }
      const difference = values[0]! - before;
      before = values[0]!;
      const size = bitsOf(difference);
      putValue(bits, first[size]!, difference, size);
      let zeros = 0;
      for (let i = 1; i <= last; i++) {
        const value = values[i]!;
        if (value === 0) {
          zeros++;
          continue;
        }
        for (; zeros > 15; zeros -= 16) putValue(bits, rest[SIXTEEN_ZEROS]!, 0, 0);
        const length = bitsOf(value);
        putValue(bits, rest[(zeros << 4) | length]!, value, length);
        zeros = 0;
      }
      if (last < 63) putValue(bits, rest[NO_MORE]!, 0, 0);
    },
  };
};
