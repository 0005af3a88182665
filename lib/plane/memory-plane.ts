import { type HeaderFacts, NO_FACTS } from './facts.ts';
import { eachMarked, type Mask, uniteMasks } from './mask.ts';
import { originAfter } from './origin.ts';
import type { Plane, PlaneSource } from './plane.ts';

/** A picture in memory as a source of rows. */
export const planeSource = (file: string, plane: Plane, facts: HeaderFacts = NO_FACTS): PlaneSource => ({
  file,
  width: plane.width,
  height: plane.height,
  type: 'f32',
  fullScale: undefined,
  facts,
  warnings: [],
  raw: undefined,
  async readRows(y, rows, into) {
    into.set(plane.data.subarray(y * plane.width, (y + rows) * plane.width));
  },
});

/** The source with the marked pixels undefined. */
export const hidePixels = (source: PlaneSource, mask: Mask): PlaneSource => ({
  ...source,
  raw: source.raw && { ...source.raw, hidden: uniteMasks(mask, source.raw.hidden) },
  ...originAfter(source.origin, (of) => ({ step: 'hide', of, mask })),
  async readRows(y, rows, into) {
    await source.readRows(y, rows, into);
    eachMarked(mask, y, rows, (index) => {
      into[index] = Number.NaN;
    });
  },
});
