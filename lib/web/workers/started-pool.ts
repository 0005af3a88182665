import { createPool } from './pool.ts';
import { startHelper } from './start-worker.ts';

/** A pool of up to `size` workers of this very script. */
export const startedPool = (size: number) => createPool(startHelper, size);
