/** How the name of a helping worker begins. */
export const HELPER = 'linewash-helper';

/** Whether this is a worker that can start others. */
export const canStartWorkers = (): boolean => typeof Worker === 'function' && typeof location === 'object';

/** The part of the Web Locks API that is used; pages that do not come over a secure connection have none. */
interface Locks {
  request(name: string, options: { signal?: AbortSignal }, held: () => Promise<void>): Promise<void>;
}

const locks = (): Locks | undefined => (globalThis.navigator as { locks?: Locks } | undefined)?.locks;

/** Shows, in a worker, that it lives: holds a lock of this name until the worker ends, however it ends. */
export const showLiveness = (name: string): Promise<void> =>
  new Promise((resolve) => {
    const forGood = () => {
      resolve();
      return new Promise<void>(() => {});
    };
    const asked = locks()?.request(name, {}, forGood);
    if (asked === undefined) return resolve();
    asked.catch(() => resolve());
  });

/**
 * Calls `ended` once the worker that shows its life under this name has ended; browsers tell of few of the ways in which
 * a worker can. Nothing is called where there are no locks, or after `signal`.
 */
export const whenEnded = (name: string, ended: () => void, signal: AbortSignal): void => {
  locks()
    ?.request(name, { signal }, async () => ended())
    .catch(() => {});
};
