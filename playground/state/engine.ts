import { atom } from 'nanostores';
import workerAddress from '../../lib/web/render-worker.ts?worker&url';
import { type Connection, connect } from '../../lib/web/rpc.ts';
import type { RenderService } from '../../lib/web/service.ts';

/** How often the worker was started: whoever keeps something in it has to bring it back when this changes. */
export const $engineRun = atom(0);

interface AddressPolicy {
  createScriptURL(address: string): string;
}

/** Pages that allow only trusted script addresses get the one address that is used, and nothing else. */
const policy: AddressPolicy = (
  globalThis as { trustedTypes?: { createPolicy(name: string, rules: AddressPolicy): AddressPolicy } }
).trustedTypes?.createPolicy('linewash', { createScriptURL: () => workerAddress }) ?? {
  createScriptURL: () => workerAddress,
};

let current: Connection<RenderService> | undefined;

/** Puts another service in the place of the worker's. */
export const useEngine = (connection: Connection<RenderService>): void => {
  current = connection;
};

/** The worker's service; started when first used, and again after it broke down. */
export const engine = (): Connection<RenderService> => {
  if (current !== undefined) return current;
  const worker = new Worker(policy.createScriptURL(workerAddress), { type: 'module', name: 'linewash' });
  const connection = connect<RenderService>(worker);
  worker.addEventListener('error', (event) => {
    event.preventDefault();
    connection.fail(new Error(event.message || 'the worker stopped'));
    worker.terminate();
    if (current !== connection) return;
    current = undefined;
    $engineRun.set($engineRun.get() + 1);
  });
  current = connection;
  return connection;
};
