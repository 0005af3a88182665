import type { ReactiveControllerHost } from 'lit';
import type { ReadableAtom } from 'nanostores';

/** Renders the element again whenever one of the stores changes, for as long as it is on the page. */
export const watch = (host: ReactiveControllerHost, ...stores: readonly ReadableAtom[]): void => {
  let stop: (() => void)[] = [];
  host.addController({
    hostConnected() {
      stop = stores.map((store) => store.listen(() => host.requestUpdate()));
      // What changed while the element was away.
      host.requestUpdate();
    },
    hostDisconnected() {
      for (const end of stop) end();
    },
  });
};
