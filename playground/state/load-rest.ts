import { engine } from './engine.ts';
import { keepOffline } from './offline.ts';

/** The mark in the page's timeline when all of it is loaded and kept. */
const DONE = 'linewash-whole';

/** Loads every part that is otherwise loaded when first needed, and keeps the page for the next visit. */
export const loadRest = async (): Promise<void> => {
  await Promise.allSettled([
    import('../elements/arrival/arrival.ts'),
    import('../elements/box/box.ts'),
    import('../elements/choices/choices.ts'),
    import('../elements/compare/compare.ts'),
    import('../elements/crop/over.ts'),
    import('../elements/faint/faint.ts'),
    import('../elements/rejected/rejected.ts'),
    import('../elements/fit/fit.ts'),
    import('../elements/hold/hold.ts'),
    import('../elements/hours/hours.ts'),
    import('../elements/keys/keys.ts'),
    import('../elements/marks/marks.ts'),
    import('../elements/probe/probe.ts'),
    import('../elements/season/season.ts'),
    import('../elements/shifts/shifts.ts'),
    import('../elements/sky/sky.ts'),
    import('../elements/stars/stars.ts'),
    import('../elements/tally/tally.ts'),
    import('../elements/target-wall/target-wall.ts'),
    import('../elements/targets/targets.ts'),
    import('../elements/wall/arrange.ts'),
    import('../elements/wall/map.ts'),
    import('../model/kept-plan.ts'),
    import('../model/seen-by.ts'),
    import('./counting.ts'),
    import('./keep-open.ts'),
    import('./kept-wall.ts'),
    import('./returning.ts'),
    import('./pasting.ts'),
    import('../../lib/recipe/share/link.ts'),
    import('../../lib/recipe/written/open.ts'),
    import('../../lib/recipe/written/parse.ts'),
    import('../../lib/recipe/written/plain.ts'),
    import('../../lib/recipe/written/recolour.ts'),
    import('../../lib/recipe/written/serialize.ts'),
    engine().call('loadParts', undefined),
  ]);
  await keepOffline();
  performance.mark(DONE);
};
