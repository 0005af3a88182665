import { polarNormal } from '../../lib/hours/random.ts';

/** A seeded source of random numbers: the same seed gives the same numbers on every machine. */
export interface Random {
  /** Uniform in [0, 2³²), whole. */
  next(): number;
  /** Uniform in [0, 1), 32 bits. */
  uniform(): number;
  /** Normal with mean 0 and standard deviation 1. */
  normal(): number;
}

const rotl = (x: number, k: number): number => (x << k) | (x >>> (32 - k));

/**
 * xoshiro128** over four 32-bit words, not all zero.
 * Source: Blackman & Vigna 2021, "Scrambled linear pseudorandom number generators", ACM TOMS 47(4), 36.
 */
export const xoshiro128 = (words: readonly [number, number, number, number]): (() => number) => {
  let [a, b, c, d] = words;
  return () => {
    const result = Math.imul(rotl(Math.imul(b, 5), 7), 9) >>> 0;
    const t = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= t;
    d = rotl(d, 11);
    return result;
  };
};

/** The finalizer of MurmurHash3 over a Weyl sequence (Steele, Lea & Flood 2014, OOPSLA): spreads a seed over words. */
const spread = (seed: number, i: number): number => {
  let z = (seed + Math.imul(i + 1, 0x9e3779b9)) | 0;
  z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
  z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
  return z ^ (z >>> 16);
};

/**
 * Random numbers of one purpose: `stream` keeps purposes with the same seed apart.
 * `seed` and `stream` are whole numbers, of which 32 bits count.
 */
export const random = (seed: number, stream: number): Random => {
  const key = spread(seed | 0, stream);
  const next = xoshiro128([spread(key, 0), spread(key, 1), spread(key, 2), spread(key, 3) | 1]);
  const uniform = () => next() / 4294967296;
  return { next, uniform, normal: polarNormal(uniform) };
};
