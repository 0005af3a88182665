import { availableParallelism, freemem } from 'node:os';

const MIB = 1 << 20;
/** What one thread takes whatever the size of the pictures: its own program, buffers for strips. */
const EACH = 96 * MIB;
/** Share of the memory that is free at the start which a batch may take. */
const SHARE = 0.6;

/** Seconds that a picture takes whatever its size, and bytes of masters that one thread works through in a second. */
const PICTURE = 0.015;
const PACE = 80 * MIB;
/** Starting threads, and their first pictures at half speed, cost about so many seconds. */
const START = 1.5;

/** Memory that a new process may still take, in bytes: less than the machine's where a limit is set. */
const freeMemory = (): number => process.availableMemory?.() ?? freemem();

export interface Capacity {
  /** Targets worked on at the same time. */
  readonly workers: number;
  /** Threads that compute each picture. */
  readonly threads: number;
}

/** What a batch has to do, at most. */
export interface Workload {
  readonly targets: number;
  readonly pictures: number;
  /** Bytes of all masters, each counted for every picture that needs it. */
  readonly bytes: number;
  /** Bytes of the largest master: it has no more pixels than that, unless it is compressed. */
  readonly largest: number;
}

/**
 * How many targets are worked on at the same time: one a processor, not more than there are targets, not more than the
 * memory allows, and one where the work is done before other threads have started. Processors that are left over help
 * with single pictures.
 */
export const capacityFor = (
  { targets, pictures, bytes, largest }: Workload,
  wish: { readonly parallel?: number | undefined; readonly memory?: number | undefined } = {},
): Capacity => {
  const processors = availableParallelism();
  const memory = wish.memory ?? SHARE * freeMemory();
  // Coverage and small copies grow with the pixels: measured at 26 megapixels.
  const fit = Math.floor(memory / (EACH + largest / 2));
  const usual = pictures * PICTURE + bytes / PACE > START ? processors : 1;
  const workers = Math.max(1, Math.min(wish.parallel ?? usual, targets, fit));
  return { workers, threads: Math.max(1, Math.floor(processors / workers)) };
};
