// The worker of the page: opens, measures, renders and exports. It imports no more than that needs. Started under the
// name of a helper, it takes shares of another's work instead.

import { createService } from './service.ts';
import { type Port, serve } from './wire/rpc.ts';
import { latePool } from './workers/late-pool.ts';
import { canStartWorkers, HELPER, showLiveness } from './workers/liveness.ts';
import { createHelper } from './workers/worker-service.ts';

/** More workers than this wait for the disk rather than for arithmetic. */
const MOST_HELPERS = 4;

const scope = globalThis as unknown as Port & { readonly name: string };
const helpers = canStartWorkers() ? Math.min(MOST_HELPERS, navigator.hardwareConcurrency || 1) : 0;
const gather = async () => (await import('./workers/started-pool.ts')).startedPool(helpers);
const pool = helpers > 0 ? latePool(helpers, gather) : undefined;
const liveness = { showLiveness: async (_: undefined) => showLiveness(scope.name) };

serve(
  scope,
  scope.name.startsWith(HELPER) ? { ...createHelper(), ...liveness } : { ...createService(pool), ...liveness },
);
