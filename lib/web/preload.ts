/**
 * Loads every part of the worker that is otherwise loaded when first needed, so that the page works without its server
 * from then on. What cannot be loaded now is tried again when it is needed.
 */
export const loadParts = async (): Promise<void> => {
  await Promise.allSettled([
    import('./combination.ts'),
    import('./workers/started-pool.ts'),
    import('./workers/band-work.ts'),
    import('./workers/plan-bands.ts'),
    import('./workers/shared-work.ts'),
    import('./sheet.ts'),
    import('./star-list.ts'),
    import('./stars.ts'),
    import('./surface.ts'),
    import('./export.ts'),
    import('./fit.ts'),
    import('./hold.ts'),
    import('./hours.ts'),
    import('./marks.ts'),
    import('./probe.ts'),
    import('../work/cover.ts'),
    import('../work/removed.ts'),
    import('../work/star-mask.ts'),
    import('../work/suggest.ts'),
    import('../prepare/background/blocks.ts'),
    import('../recipe/settle/find-surfaces.ts'),
    import('../recipe/settle/find-continua.ts'),
    import('../recipe/settle/find-line-noise.ts'),
    import('../recipe/settle/find-own-stars.ts'),
    import('../recipe/settle/combine-line.ts'),
    import('../smooth/compute.ts'),
    import('../smooth/find-noise.ts'),
    import('../render/js-kernel.ts'),
    import('../formats/open.ts'),
    import('../formats/fits/gzip-bytes.ts'),
    import('../formats/fits/tile-rows.ts'),
    import('../formats/fits/tiles.ts'),
    import('../recipe/written/plain.ts'),
    import('../recipe/written/line-colours.ts'),
    import('../colour/css.ts'),
  ]);
};
