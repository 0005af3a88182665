// The project's TypeScript modules in a script of plain Node.
import { fileURLToPath } from 'node:url';
import { createServer } from 'vite';

export const root = fileURLToPath(new URL('../..', import.meta.url));

/**
 * A loader of the project's modules: `load('/lib/…')`, from the root. Vite compiles them on the way; nothing is served.
 * `close` lets go of what it holds.
 */
export const moduleLoader = async () => {
  const vite = await createServer({
    root,
    configFile: false,
    appType: 'custom',
    logLevel: 'error',
    optimizeDeps: { noDiscovery: true },
    server: { middlewareMode: true, hmr: false, watch: null, ws: false },
  });
  return { load: (module) => vite.ssrLoadModule(module), close: () => vite.close() };
};
