import type { Painting, Pool } from './pool.ts';

/** A pool that is put together when there is first something to do. */
export const latePool = (size: number, gather: () => Promise<Pool>): Pool => {
  let pool: Promise<Pool> | undefined;
  return {
    size,
    async look(...task) {
      pool ??= gather();
      // What could not be loaded is tried again.
      pool.catch(() => {
        pool = undefined;
      });
      return (await pool).look(...task);
    },
    paint(shared) {
      let painting: Painting | undefined;
      return {
        async make(...task) {
          pool ??= gather();
          const gathered = await pool;
          painting ??= gathered.paint(shared);
          return painting.make(...task);
        },
        close: () => painting?.close(),
      };
    },
    forget(id) {
      pool?.then((gathered) => gathered.forget(id)).catch(() => {});
    },
  };
};
