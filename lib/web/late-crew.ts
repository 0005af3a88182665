import type { Crew } from './crew.ts';

/** A crew that is put together when there is first something to do. */
export const lateCrew = (size: number, gather: () => Promise<Crew>): Crew => {
  let crew: Promise<Crew> | undefined;
  return {
    size,
    async look(...task) {
      crew ??= gather();
      // What could not be loaded is tried again.
      crew.catch(() => {
        crew = undefined;
      });
      return (await crew).look(...task);
    },
    forget(id) {
      crew?.then((gathered) => gathered.forget(id)).catch(() => {});
    },
  };
};
