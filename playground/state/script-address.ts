import workerAddress from '../../lib/web/render-worker.ts?worker&url';

interface AddressPolicy {
  createScriptURL(address: string): string;
}

/**
 * The worker's script as one made here: such a worker is bound by the page's own security policy, while one that comes
 * from the server is bound by what the server says, which on a plain host is nothing.
 */
const engineScript = URL.createObjectURL(
  new Blob([`import ${JSON.stringify(new URL(workerAddress, import.meta.url).href)};`], { type: 'text/javascript' }),
);

/** All scripts that the page may start. */
const SCRIPTS = { engine: engineScript, offline: './service-worker.js' } as const;

/** Pages that allow only trusted script addresses get these, and nothing else. */
const addresses = Object.values<string>(SCRIPTS);
const rules: AddressPolicy = {
  createScriptURL(address) {
    if (!addresses.includes(address)) throw new TypeError(`${address} is no script of this page`);
    return address;
  },
};
const policy =
  (
    globalThis as { trustedTypes?: { createPolicy(name: string, rules: AddressPolicy): AddressPolicy } }
  ).trustedTypes?.createPolicy('linewash', rules) ?? rules;

/** The address of one of the page's own scripts, as a browser takes it. */
export const scriptAddress = (script: keyof typeof SCRIPTS): string => policy.createScriptURL(SCRIPTS[script]);
