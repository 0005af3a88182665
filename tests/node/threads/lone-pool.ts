import { afterAll } from 'vitest';
import { type Pool, withPool } from '../../../lib/node/threads/pool.ts';

/** A pool of this thread alone, which lives as long as the tests of a file. */
export const lonePool = (): Promise<Pool> =>
  new Promise((resolve) => {
    const lasting = new Promise<void>((end) => afterAll(end));
    void withPool(1, (pool) => {
      resolve(pool);
      return lasting;
    });
  });
