// What the counting module keeps in its memory, brought to numbers of the host.
import { BINS, type LowerCounts } from '../plane/counting.ts';
import type { CountExports } from './count-kernel.ts';
import { placeCounts } from './place-counts.ts';

/** A bin takes four words: the sum of places up to 2⁴⁰ and above it the count, and the sum of squared places. */
const WORDS = 4;
/** Counts that fit above the sum. */
const MOST = 2 ** 24 - 1;

/** Bins in the module's memory, emptied into numbers of the host before they can overflow. */
export const binCounts = {
  bytes: BINS * WORDS * 4,
  over(words: Uint32Array<ArrayBuffer>) {
    const bins = new Float64Array(3 * BINS);
    let waiting = 0;
    const empty = (): void => {
      for (let bin = 0, at = 0; bin < BINS; bin++, at += WORDS) {
        const high = words[at + 1]!;
        if (high === 0) continue;
        bins[3 * bin]! += high >>> 8;
        bins[3 * bin + 1]! += words[at]! + (high & 0xff) * 2 ** 32;
        bins[3 * bin + 2]! += words[at + 2]! + words[at + 3]! * 2 ** 32;
      }
      words.fill(0);
      waiting = 0;
    };
    return {
      /** To be called before `n` more values are counted. */
      makeRoom(n: number): void {
        if (waiting + n > MOST) empty();
        waiting += n;
      },
      take(): Float64Array<ArrayBuffer> {
        empty();
        return bins;
      },
    };
  },
};

/** Tables of bytes in the module's memory, with what the bytes could not hold. */
export const byteTables = (kernel: CountExports, bytes: Uint8Array<ArrayBuffer>, carriesAt: number) => {
  const passed = Array.from({ length: bytes.length / BINS }, () => new Map<number, number>());
  return {
    /** Takes note of the bytes that passed 255; to be called after each piece of work. */
    carry(): void {
      const count = kernel.takeCarries();
      if (count === 0) return;
      for (const at of new Uint32Array(bytes.buffer, carriesAt, count)) carry(passed[at >>> 16]!, at & 0xffff);
    },
    take: (): LowerCounts =>
      passed.map((times, k) => [placeCounts(bytes.slice(k * BINS, (k + 1) * BINS), times, sumsOf(k))]),
  };

  /** What the module finds in the bytes of a table. */
  function sumsOf(table: number): Parameters<typeof placeCounts>[2] {
    kernel.sumBlocks(bytes.byteOffset + table * BINS, carriesAt);
    const sums = new Uint32Array(bytes.buffer, carriesAt, 3 * 256);
    return (block) => [sums[3 * block]!, sums[3 * block + 1]!, sums[3 * block + 2]!];
  }
};

/** Notes that the byte of a place passed 255 once more. */
export const carry = (passed: Map<number, number>, place: number): void =>
  void passed.set(place, (passed.get(place) ?? 0) + 1);
