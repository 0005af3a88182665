import { availableParallelism, freemem } from 'node:os';

const MIB = 1 << 20;
/** What one thread takes whatever the size of the pictures: its own program, buffers for strips. */
const EACH = 96 * MIB;
/** Share of the memory that is free at the start which a batch may take. */
const SHARE = 0.6;

/** Memory that a new process may still take, in bytes: less than the machine's where a limit is set. */
const freeMemory = (): number => process.availableMemory?.() ?? freemem();

export interface Capacity {
  /** Targets worked on at the same time. */
  readonly hands: number;
  /** Threads that compute each picture. */
  readonly threads: number;
}

/**
 * How many targets are worked on at the same time: one a processor, not more than there are targets, and not more than
 * the memory allows. Processors that are left over help with single pictures.
 * @param pixels of the largest master; each takes a few bits for its coverage
 */
export const capacityFor = (
  targets: number,
  pixels: number,
  wish: { readonly parallel?: number | undefined; readonly memory?: number | undefined } = {},
): Capacity => {
  const processors = availableParallelism();
  const memory = wish.memory ?? SHARE * freeMemory();
  const fit = Math.floor(memory / (EACH + 2 * pixels));
  const hands = Math.max(1, Math.min(wish.parallel ?? processors, targets, fit));
  return { hands, threads: Math.max(1, Math.floor(processors / hands)) };
};
