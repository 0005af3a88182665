import { backBits, peekBits } from './bits.ts';
import { damaged } from './damage.ts';
import { firstState, nextState, readFseTable } from './fse.ts';

/** Codes of literals (RFC 8878 §4.2): by the next `log` bits, the literal and how many bits it takes. */
export interface HuffmanTable {
  readonly log: number;
  readonly symbol: Uint8Array;
  readonly bits: Uint8Array;
}

const MOST_BITS = 11;
const MOST_WEIGHTS = 255;

/** Weights packed by two alternating states, until the bits run out. */
const packedWeights = (bytes: Uint8Array, at: number, end: number): number[] => {
  const { table, end: from } = readFseTable(bytes, at, end, { log: 6, symbol: MOST_BITS + 1 });
  const bits = backBits(bytes, from, end);
  const states = [firstState(table, bits), firstState(table, bits)];
  const weights: number[] = [];
  for (let turn = 0; ; turn ^= 1) {
    weights.push(table.symbol[states[turn]!]!);
    states[turn] = nextState(table, states[turn]!, bits);
    if (bits.at < 0) {
      weights.push(table.symbol[states[turn ^ 1]!]!);
      break;
    }
    if (weights.length >= MOST_WEIGHTS) damaged('too many code lengths');
  }
  return weights;
};

const plainWeights = (bytes: Uint8Array, at: number, count: number): number[] =>
  Array.from({ length: count }, (_, i) => (i & 1 ? bytes[at + (i >> 1)]! & 15 : bytes[at + (i >> 1)]! >> 4));

/** The codes of given weights; the last weight follows from the others. */
const tableOf = (weights: number[]): HuffmanTable => {
  let sum = 0;
  for (const weight of weights) {
    if (weight > MOST_BITS) damaged('a code that is too long');
    if (weight > 0) sum += 1 << (weight - 1);
  }
  const log = 32 - Math.clz32(sum);
  const left = (1 << log) - sum;
  if (sum === 0 || log > MOST_BITS || (left & (left - 1)) !== 0 || weights.length > MOST_WEIGHTS)
    damaged('codes that do not add up');
  weights.push(32 - Math.clz32(left));
  const symbol = new Uint8Array(1 << log);
  const bits = new Uint8Array(1 << log);
  let at = 0;
  for (let weight = 1; weight <= log; weight++)
    for (let s = 0; s < weights.length; s++) {
      if (weights[s] !== weight) continue;
      const to = at + (1 << (weight - 1));
      symbol.fill(s, at, to);
      bits.fill(log + 1 - weight, at, to);
      at = to;
    }
  return { log, symbol, bits };
};

/** Reads a table from bytes [at, end); returns it and where it ends. */
export const readHuffmanTable = (bytes: Uint8Array, at: number, end: number): { table: HuffmanTable; end: number } => {
  if (at >= end) damaged('literals without codes');
  const head = bytes[at]!;
  const count = head - 127;
  const stop = at + 1 + (head < 128 ? head : (count + 1) >> 1);
  if (stop > end) damaged('literals without codes');
  const weights = head < 128 ? packedWeights(bytes, at + 1, stop) : plainWeights(bytes, at + 1, count);
  return { table: tableOf(weights), end: stop };
};

/** Decodes literals [from, to) of `into` from one bit stream, which they use up exactly. */
export const readHuffman = (
  table: HuffmanTable,
  bytes: Uint8Array,
  range: { readonly start: number; readonly end: number },
  into: Uint8Array,
  from: number,
  to: number,
): void => {
  const bits = backBits(bytes, range.start, range.end);
  const { log, symbol, bits: lengths } = table;
  for (let i = from; i < to; i++) {
    const code = peekBits(bits, log);
    into[i] = symbol[code]!;
    bits.at -= lengths[code]!;
  }
  if (bits.at !== 0) damaged('literals of another length');
};
