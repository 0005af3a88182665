import { connect, type Port } from '../wire/rpc.ts';
import { HELPER, whenEnded } from './liveness.ts';
import type { StartMember } from './pool.ts';
import type { Helper } from './worker-service.ts';

interface AddressPolicy {
  createScriptURL(address: string): string;
}

let policy: AddressPolicy | undefined;

/** Where only trusted script addresses are allowed, that of this very script is the one that is used. */
const trusted = (): string => {
  const factory = (globalThis as { trustedTypes?: { createPolicy(name: string, rules: AddressPolicy): AddressPolicy } })
    .trustedTypes;
  const rules = { createScriptURL: () => location.href };
  policy ??= factory?.createPolicy('linewash', rules) ?? rules;
  return policy.createScriptURL(location.href);
};

let started = 0;

/** Starts this worker's own script once more, as a helper. */
export const startHelper: StartMember = (ended) => {
  const name = `${HELPER}-${performance.timeOrigin}-${started++}`;
  const worker = new Worker(trusted(), { type: 'module', name });
  const control = new AbortController();
  const fall = (reason: string) => {
    control.abort();
    ended(new Error(reason));
  };
  worker.addEventListener('error', (event) => {
    event.preventDefault();
    fall(event.message || 'a helping worker stopped');
  });
  const connection = connect<Helper & { showLiveness(_: undefined): Promise<void> }>(worker as Port);
  connection
    .call('showLiveness', undefined)
    .then(() => whenEnded(name, () => fall('a helping worker ended'), control.signal))
    .catch(() => {});
  return {
    connection,
    dismiss() {
      control.abort();
      worker.terminate();
    },
  };
};
