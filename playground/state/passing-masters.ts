import type { PageMaster } from './masters.ts';
import { closePassing, isInWorker, openInWorker } from './open-set.ts';

/** Does something with masters that need not be on screen: they are open in the worker meanwhile. */
export const withMasters = async <T>(
  masters: readonly PageMaster[],
  signal: AbortSignal,
  use: () => Promise<T>,
): Promise<T> => {
  const opened: string[] = [];
  try {
    for (const { id, file: name, from } of masters) {
      if (isInWorker(id)) continue;
      await openInWorker({ id, name, from }, signal);
      opened.push(id);
    }
    return await use();
  } finally {
    closePassing(opened);
  }
};
