import { openMasters } from './opening.ts';

/** The invented scene that the page opens with; the files lie beside it. */
const SAMPLES = ['emberwing-S.fits', 'emberwing-H.fits', 'emberwing-O.fits'];

export const openSamples = (): Promise<void> =>
  openMasters(
    SAMPLES.map((name) => ({ name, from: new URL(name, document.baseURI).href })),
    'samples',
  );
