// The example tables of ITU-T T.81 (ISO/IEC 10918-1), Annex K, which nearly every program writes. Their use is no part of
// the standard, but a quality is named against them: readers that tell the quality of a file compare with these.

/** Quality on the customary scale of 1 to 100, where 50 is the tables as the standard prints them. */
export const QUALITY = 92;

/** Tables K.1 (lightness) and K.2 (colour), row by row. */
const LIGHTNESS_STEPS = [
  16, 11, 10, 16, 24, 40, 51, 61, 12, 12, 14, 19, 26, 58, 60, 55, 14, 13, 16, 24, 40, 57, 69, 56, 14, 17, 22, 29, 51,
  87, 80, 62, 18, 22, 37, 56, 68, 109, 103, 77, 24, 35, 55, 64, 81, 104, 113, 92, 49, 64, 78, 87, 103, 121, 120, 101,
  72, 92, 95, 98, 112, 100, 103, 99,
];
const COARSE = [99, 99, 99, 99];
const COLOUR_STEPS = [
  ...[17, 18, 24, 47, ...COARSE],
  ...[18, 21, 26, 66, ...COARSE],
  ...[24, 26, 56, 99, ...COARSE],
  ...[47, 66, 99, 99, ...COARSE],
  ...Array.from({ length: 32 }, () => 99),
];

/** Steps of the quantiser at our quality, row by row: a percentage of the table, at least 1, for a quality above 50. */
const scaled = (steps: readonly number[]): Uint8Array =>
  Uint8Array.from(steps, (step) => Math.max(1, Math.floor((step * (200 - 2 * QUALITY) + 50) / 100)));

export const STEPS = { lightness: scaled(LIGHTNESS_STEPS), colour: scaled(COLOUR_STEPS) } as const;

/** The place in a block, row by row, of each coefficient in the order of the file (§3.6, figure A.6). */
export const ZIGZAG = (() => {
  const order = new Uint8Array(64);
  let [row, column] = [0, 0];
  for (let i = 0; i < 64; i++) {
    order[i] = 8 * row + column;
    const up = (row + column) % 2 === 0;
    if (up && column === 7) row++;
    else if (up && row === 0) column++;
    else if (!up && row === 7) column++;
    else if (!up && column === 0) row++;
    else [row, column] = up ? [row - 1, column + 1] : [row + 1, column - 1];
  }
  return order;
})();

/** A prefix code as the file states it: how many codes there are of each length 1…16, and their symbols by length. */
export interface CodeTable {
  readonly counts: readonly number[];
  readonly symbols: readonly number[];
}

/** Sizes of differences, for the first coefficient of each block. */
const SIZES = Array.from({ length: 12 }, (_, size) => size);

/** The symbols named, and then all others: zeros before a coefficient · 16 + its size. */
const withRest = (first: string): number[] => {
  const named = first.split(' ').map((text) => Number.parseInt(text, 16));
  const all = Array.from({ length: 160 }, (_, i) => ((i / 10) << 4) + (i % 10) + 1);
  return [...named, ...all.filter((symbol) => !named.includes(symbol))];
};

/** Tables K.3 to K.6. */
export const CODES = {
  lightness: {
    first: { counts: [0, 1, 5, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0, 0], symbols: SIZES },
    rest: {
      counts: [0, 2, 1, 3, 3, 2, 4, 3, 5, 5, 4, 4, 0, 0, 1, 125],
      symbols: withRest(
        '01 02 03 00 04 11 05 12 21 31 41 06 13 51 61 07 22 71 14 32 81 91 a1 08 23 42 b1 c1 15 52 d1 f0 24 33 62 72 82',
      ),
    },
  },
  colour: {
    first: { counts: [0, 3, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0], symbols: SIZES },
    rest: {
      counts: [0, 2, 1, 2, 4, 4, 3, 4, 7, 5, 4, 4, 0, 1, 2, 119],
      symbols: withRest(
        '00 01 02 03 11 04 05 21 31 06 12 41 51 07 61 71 13 22 32 81 08 14 42 91 a1 b1 c1 09 23 33 52 f0 15 62 72 d1 0a 16 24 34 e1 25 f1',
      ),
    },
  },
} as const;

/** For each symbol its code, and 0x10000 times the code's length (Annex C). */
export const codeWords = ({ counts, symbols }: CodeTable): Uint32Array => {
  const words = new Uint32Array(256);
  let code = 0;
  let next = 0;
  for (const [i, count] of counts.entries()) {
    for (let k = 0; k < count; k++) words[symbols[next++]!] = ((i + 1) << 16) | code++;
    code <<= 1;
  }
  return words;
};
