import { atom } from 'nanostores';
import { LinewashError } from '../../lib/plane/errors.ts';
import type { RenderService } from '../../lib/web/service.ts';
import { type Connection, connect } from '../../lib/web/wire/rpc.ts';
import { whenEnded } from '../../lib/web/workers/liveness.ts';
import { scriptAddress } from './script-address.ts';

/** How often the worker was started: whoever keeps something in it has to bring it back when this changes. */
export const $engineRun = atom(0);

let current: Connection<RenderService> | undefined;

/** Puts another service in the place of the worker's. */
export const useEngine = (connection: Connection<RenderService>): void => {
  current = connection;
};

/** What calls end with whose worker is gone: nobody is to be told more than that it was started again. */
const stopped = () => new LinewashError({ tag: 'cancelled', message: 'the worker stopped' });

/** The worker's service; started when first used, and again after it broke down. */
export const engine = (): Connection<RenderService> => {
  if (current !== undefined) return current;
  // A name that no other page uses: the worker shows its life under it.
  const name = `linewash-${performance.timeOrigin}-${Math.random()}`;
  const worker = new Worker(scriptAddress('engine'), { type: 'module', name });
  const connection = connect<RenderService & { showLiveness(_: undefined): Promise<void> }>(worker);
  const alive = new AbortController();
  const fall = (): void => {
    if (alive.signal.aborted) return;
    alive.abort();
    worker.terminate();
    connection.fail(stopped());
    if (current !== connection) return;
    current = undefined;
    $engineRun.set($engineRun.get() + 1);
  };
  worker.addEventListener('error', (event) => {
    event.preventDefault();
    fall();
  });
  connection.call('showLiveness', undefined).then(
    () => whenEnded(name, fall, alive.signal),
    () => {},
  );
  current = connection;
  return connection;
};
