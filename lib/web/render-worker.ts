// The worker of the page: opens, measures, renders and exports. It imports no more than that needs. Started under the
// name of a helper, it takes shares of another's work instead.
import { createHelper } from './crew-service.ts';
import { lateCrew } from './late-crew.ts';
import { canHire, HELPER, showLife } from './life.ts';
import { type Port, serve } from './rpc.ts';
import { createService } from './service.ts';

/** More workers than this wait for the disk rather than for arithmetic. */
const MOST_HELPERS = 4;

const scope = globalThis as unknown as Port & { readonly name: string };
const helpers = canHire() ? Math.min(MOST_HELPERS, navigator.hardwareConcurrency || 1) : 0;
const gather = async () => (await import('./crew-hired.ts')).hiredCrew(helpers);
const crew = helpers > 0 ? lateCrew(helpers, gather) : undefined;
const life = { showLife: async (_: undefined) => showLife(scope.name) };

serve(scope, scope.name.startsWith(HELPER) ? { ...createHelper(), ...life } : { ...createService(crew), ...life });
