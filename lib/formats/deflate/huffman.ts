/**
 * Lengths of an optimal prefix code in which none is longer than `limit` bits: Huffman's tree by two queues, then the
 * codes that are too long made shorter at the cost of the least frequent others (Kraft sum brought back to 1).
 * @param frequencies how often each symbol occurs; 0 gives length 0, no code
 * @param limit at least log₂ of the number of symbols in use
 */
export const codeLengths = (frequencies: Uint32Array, limit: number): Uint8Array => {
  const lengths = new Uint8Array(frequencies.length);
  const symbols = byFrequency(frequencies);
  // A code of one symbol still takes a bit (RFC 1951 §3.2.7).
  if (symbols.length < 2) {
    for (const s of symbols) lengths[s] = 1;
    return lengths;
  }
  const counts = limited(countDepths(symbols.map((s) => frequencies[s]!)), limit);
  let at = 0;
  for (let length = limit; length > 0; length--)
    for (let i = counts[length]!; i > 0; i--) lengths[symbols[at++]!] = length;
  return lengths;
};

/** Symbols in use, the least frequent first, then by number. Sorted as numbers, without a comparison in code. */
const byFrequency = (frequencies: Uint32Array): Uint32Array => {
  const keys = new Float64Array(frequencies.length);
  let used = 0;
  for (let s = 0; s < frequencies.length; s++) if (frequencies[s]! > 0) keys[used++] = frequencies[s]! * 512 + s;
  const sorted = keys.subarray(0, used).sort();
  const symbols = new Uint32Array(used);
  for (let i = 0; i < used; i++) symbols[i] = sorted[i]! % 512;
  return symbols;
};

/** How many leaves Huffman's tree has at each depth; weights ascend. */
const countDepths = (weights: Uint32Array): number[] => {
  const leaves = weights.length;
  const weight = new Float64Array(2 * leaves - 1);
  weight.set(weights);
  let nodes = leaves;
  const parent = new Uint16Array(2 * leaves);
  let leaf = 0;
  let inner = leaves;
  const lightest = (): number =>
    leaf < leaves && (inner >= nodes || weight[leaf]! <= weight[inner]!) ? leaf++ : inner++;
  for (let node = leaves; node < 2 * leaves - 1; node++) {
    const one = lightest();
    const other = lightest();
    parent[one] = node;
    parent[other] = node;
    weight[nodes++] = weight[one]! + weight[other]!;
  }
  const depth = new Uint16Array(2 * leaves);
  const counts: number[] = [];
  depth[2 * leaves - 2] = 0;
  for (let node = 2 * leaves - 3; node >= 0; node--) {
    const own = depth[parent[node]!]! + 1;
    depth[node] = own;
    if (node < leaves) counts[own] = (counts[own] ?? 0) + 1;
  }
  return counts;
};

/** The same number of leaves with none deeper than the limit. */
const limited = (deep: readonly number[], limit: number): number[] => {
  const counts = Array.from({ length: limit + 1 }, (_, length) => deep[length] ?? 0);
  for (let length = limit + 1; length < deep.length; length++) counts[limit]! += deep[length] ?? 0;
  // The Kraft sum in units of the longest code: each cut leaf took more room than it had.
  let taken = counts.reduce((sum, count, length) => sum + count * 2 ** (limit - length), -counts[0]! * 2 ** limit);
  while (taken > 2 ** limit) {
    // A shorter code becomes two of the next length; one of the longest moves in as its sibling.
    let length = limit - 1;
    while (counts[length] === 0) length--;
    counts[length]!--;
    counts[length + 1]! += 2;
    counts[limit]!--;
    taken--;
  }
  return counts;
};

/** Canonical codes for lengths (RFC 1951 §3.2.2), each with its bits reversed, as they go into the stream. */
export const codesOf = (lengths: Uint8Array): Uint16Array => {
  const next = new Uint16Array(17);
  for (const length of lengths) if (length > 0) next[length + 1]!++;
  for (let length = 1; length < 17; length++) next[length] = (next[length]! + next[length - 1]!) << 1;
  const codes = new Uint16Array(lengths.length);
  for (let s = 0; s < codes.length; s++) if (lengths[s]! > 0) codes[s] = reversed(next[lengths[s]!]!++, lengths[s]!);
  return codes;
};

const reversed = (code: number, length: number): number => {
  let bits = 0;
  for (let i = 0; i < length; i++) bits |= ((code >> i) & 1) << (length - 1 - i);
  return bits;
};
