import { readFileSync } from 'node:fs';
import { openTiff } from '../../lib/formats/tiff/open.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import { expectClean, type FuzzTarget } from './target.ts';

const kept = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(`../formats/tiff/display/fixtures/${name}.tif`, import.meta.url)));

/** More than any seed's pixels: what opens larger is not read whole. */
const MOST = 1 << 16;

/** The first and the last rows, as a picture to look at. */
const readSome = async (bytes: Uint8Array): Promise<void> => {
  const plane = bytes.length % 3;
  const source = await openTiff(memorySource('fuzz.tif', bytes), { display: true, ...(plane > 0 && { plane }) });
  const rows = Math.min(source.height, Math.max(1, Math.floor(MOST / source.width)));
  const pixels = new Float32Array(rows * source.width);
  await source.readRows(0, rows, pixels);
  await source.readRows(source.height - rows, rows, pixels);
  if (pixels.some((value) => !(value >= 0 && value <= 255))) throw new Error('a sample is out of range');
};

/** What the fuzz driver and the tests throw mutated bytes at. */
export const displayTargets: readonly FuzzTarget[] = [
  {
    name: 'display TIFF',
    seeds: ['ycc-strips', 'ycc-tiles', 'rgb-planes', 'grey'].map(kept),
    run: (bytes) => expectClean(() => readSome(bytes)),
  },
];
