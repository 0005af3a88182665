import { createPool } from './pool.ts';
import { hireHelper } from './start-worker.ts';

/** A pool of up to `size` workers of this very script. */
export const startedPool = (size: number) => createPool(hireHelper, size);
