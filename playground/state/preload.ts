import { $picture } from './picture.ts';

/** So long after the first picture everything else is loaded: by then it is not in the way. */
const WAIT_MS = 5000;

/**
 * Loads the rest of the page when nothing else is going on, so that it works without its server, and keeps it for the
 * next visit. Does nothing if the browser asks to save data.
 */
export const preload = (): void => {
  const { connection } = navigator as { connection?: { readonly saveData?: boolean } };
  if (connection?.saveData) return;
  const stop = $picture.listen((picture) => {
    if (picture === undefined) return;
    stop();
    // The list of all parts is long, and no part of the first load.
    setTimeout(() => void import('./load-rest.ts').then(({ loadRest }) => loadRest()), WAIT_MS);
  });
};
