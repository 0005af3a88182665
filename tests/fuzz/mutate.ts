/** Uniform numbers in [0, 1) that are the same for the same seed (Park & Miller 1988, with the multiplier 48271). */
export const seededRandom = (seed: number): (() => number) => {
  let state = (Math.abs(Math.trunc(seed)) % 2147483646) + 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return (state - 1) / 2147483646;
  };
};

/** Numbers at which sizes, counts and offsets go wrong. */
const NUMBERS = [0, 1, -1, 2, 255, 256, 32767, -32768, 65535, 65536, 2 ** 31 - 1, -(2 ** 31), 2 ** 32 - 1, 999999999];
const TEXTS = [...NUMBERS.map(String), '1e999', '-0', '1D5', '9223372036854775808', 'NaN', "'", "'&", '', 'T', '/'];

type Mutation = (bytes: Uint8Array, random: () => number) => Uint8Array;

/**
 * A changed copy of `bytes`: one to four changes, each a flipped bit, a new byte, a cut, a doubled or moved stretch,
 * an interesting number in binary, or one in place of digits in text. Never longer than twice the input and a little.
 */
export const mutate: Mutation = (bytes, random) => {
  let changed: Uint8Array = bytes.slice();
  for (let left = 1 + Math.floor(random() * 4); left > 0 && changed.length > 0; left--)
    changed = MUTATIONS[Math.floor(random() * MUTATIONS.length)]!(changed, random);
  return changed.subarray(0, bytes.length * 2 + 64);
};

const pick = (random: () => number, below: number): number => Math.floor(random() * below);

const flipBit: Mutation = (bytes, random) => {
  bytes[pick(random, bytes.length)]! ^= 1 << pick(random, 8);
  return bytes;
};

const setByte: Mutation = (bytes, random) => {
  bytes[pick(random, bytes.length)] = pick(random, 256);
  return bytes;
};

const cut: Mutation = (bytes, random) => {
  const from = pick(random, bytes.length);
  // As often the end as a stretch in the middle.
  return random() < 0.5 ? bytes.slice(0, from) : splice(bytes, from, pick(random, 200), new Uint8Array(0));
};

const double: Mutation = (bytes, random) => {
  const from = pick(random, bytes.length);
  return splice(bytes, from, 0, bytes.slice(from, from + 1 + pick(random, 200)));
};

const move: Mutation = (bytes, random) => {
  const from = pick(random, bytes.length);
  bytes.copyWithin(pick(random, bytes.length), from, from + 1 + pick(random, 200));
  return bytes;
};

const putNumber: Mutation = (bytes, random) => {
  const size = [1, 2, 4, 8][pick(random, 4)]!;
  if (bytes.length < size) return bytes;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const at = pick(random, bytes.length - size + 1);
  const number = NUMBERS[pick(random, NUMBERS.length)]!;
  const little = random() < 0.5;
  if (size === 1) view.setInt8(at, number);
  else if (size === 2) view.setInt16(at, number, little);
  else if (size === 4) view.setInt32(at, number, little);
  else view.setBigInt64(at, BigInt(number), little);
  return bytes;
};

const putText: Mutation = (bytes, random) => {
  let from = pick(random, bytes.length);
  while (from < bytes.length && !isDigit(bytes[from]!)) from++;
  let to = from;
  while (to < bytes.length && isDigit(bytes[to]!)) to++;
  const text = new TextEncoder().encode(TEXTS[pick(random, TEXTS.length)]!);
  // Over what stands there, so that columns stay in place, or pushing it on.
  return splice(bytes, from, random() < 0.7 ? Math.max(text.length, to - from) : to - from, text);
};

const isDigit = (code: number): boolean => code >= 0x30 && code <= 0x39;

const splice = (bytes: Uint8Array, at: number, remove: number, insert: Uint8Array): Uint8Array => {
  const rest = bytes.subarray(Math.min(bytes.length, at + remove));
  const joined = new Uint8Array(at + insert.length + rest.length);
  joined.set(bytes.subarray(0, at));
  joined.set(insert, at);
  joined.set(rest, at + insert.length);
  return joined;
};

const MUTATIONS: readonly Mutation[] = [flipBit, setByte, cut, double, move, putNumber, putText];
