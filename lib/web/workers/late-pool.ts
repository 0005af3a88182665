import type { Pool, Shared } from './pool.ts';

/** A pool that is put together when there is first something to do. */
export const latePool = (size: number, gather: () => Promise<Pool>): Pool => {
  let pool: Promise<Pool> | undefined;
  const late = <Part, Made>(share: (gathered: Pool) => Shared<Part, Made>): Shared<Part, Made> => {
    let shared: Shared<Part, Made> | undefined;
    return {
      async make(...task) {
        pool ??= gather();
        const gathered = await pool;
        shared ??= share(gathered);
        return shared.make(...task);
      },
      close: () => shared?.close(),
    };
  };
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
    paint: (plan) => late((gathered) => gathered.paint(plan)),
    pieces: (work) => late((gathered) => gathered.pieces(work)),
    forget(id) {
      pool?.then((gathered) => gathered.forget(id)).catch(() => {});
    },
  };
};
