import { scriptAddress } from './script-address.ts';

/** Until a service worker has kept the page, or could not. */
const whenDone = (worker: ServiceWorker): Promise<void> =>
  new Promise((resolve) => {
    const look = (): void => {
      if (worker.state !== 'installing') resolve();
    };
    worker.addEventListener('statechange', look);
    look();
  });

/**
 * Keeps the built page in the browser, so that it opens without its server from the next visit on; ends when it is kept.
 * Where the browser keeps nothing, as in some private windows, the page works as long as its server does.
 */
export const keepOffline = async (): Promise<void> => {
  if (!import.meta.env.PROD || navigator.serviceWorker === undefined) return;
  try {
    const registration = await navigator.serviceWorker.register(scriptAddress('offline'));
    if (registration.installing === null) await registration.update();
    if (registration.installing !== null) await whenDone(registration.installing);
    // A worker that waits takes over at once if it belongs to the build of this page.
    registration.waiting?.postMessage(import.meta.url);
  } catch {
    // The page on screen does without.
  }
};
