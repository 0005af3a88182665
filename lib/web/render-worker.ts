// The worker of the page: opens, measures, renders and exports. It imports no more than that needs.
import { type Port, serve } from './rpc.ts';
import { createService } from './service.ts';

serve(globalThis as unknown as Port, createService());
