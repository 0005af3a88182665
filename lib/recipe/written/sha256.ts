/** The first 64 primes. */
const PRIMES = Array.from({ length: 310 }, (_, n) => n + 2)
  .filter((n) => Array.from({ length: n - 2 }, (_, d) => d + 2).every((d) => n % d !== 0))
  .slice(0, 64);
/** The first 32 bits of the fractional part of a number. */
const fraction = (x: number): number => ((x - Math.floor(x)) * 2 ** 32) | 0;
const ROUNDS = Int32Array.from(PRIMES, (p) => fraction(Math.cbrt(p)));
const START = Int32Array.from(PRIMES.slice(0, 8), (p) => fraction(Math.sqrt(p)));

const turn = (x: number, bits: number): number => (x >>> bits) | (x << (32 - bits));

/**
 * SHA-256 (FIPS 180-4) of short texts, in hexadecimal. The platform's own function is missing on pages that are not
 * served securely, which a page on one's own machine may be.
 */
export const sha256 = (message: Uint8Array): string => {
  const blocks = new Uint8Array(Math.ceil((message.length + 9) / 64) * 64);
  blocks.set(message);
  blocks[message.length] = 0x80;
  const view = new DataView(blocks.buffer);
  view.setUint32(blocks.length - 8, Math.floor(message.length / 2 ** 29));
  view.setUint32(blocks.length - 4, message.length << 3);
  const hash = Int32Array.from(START);
  for (let at = 0; at < blocks.length; at += 64) addBlock(hash, view, at);
  return Array.from(hash, (word) => (word >>> 0).toString(16).padStart(8, '0')).join('');
};

const addBlock = (hash: Int32Array, view: DataView, at: number): void => {
  const w = new Int32Array(64);
  for (let t = 0; t < 16; t++) w[t] = view.getInt32(at + 4 * t);
  for (let t = 16; t < 64; t++) {
    const [x, y] = [w[t - 15]!, w[t - 2]!];
    const s0 = turn(x, 7) ^ turn(x, 18) ^ (x >>> 3);
    const s1 = turn(y, 17) ^ turn(y, 19) ^ (y >>> 10);
    w[t] = w[t - 16]! + s0 + w[t - 7]! + s1;
  }
  let [a, b, c, d, e, f, g, h] = hash as unknown as [number, number, number, number, number, number, number, number];
  for (let t = 0; t < 64; t++) {
    const s1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25);
    const t1 = (h + s1 + ((e & f) ^ (~e & g)) + ROUNDS[t]! + w[t]!) | 0;
    const s0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22);
    const t2 = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + t1) | 0, c, b, a, (t1 + t2) | 0];
  }
  for (const [i, word] of [a, b, c, d, e, f, g, h].entries()) hash[i] = hash[i]! + word;
};
