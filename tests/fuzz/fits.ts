import { deflateRawSync, gzipSync } from 'node:zlib';
import { plainBytes } from '../../lib/formats/fits/bytes.ts';
import { readFacts } from '../../lib/formats/fits/facts.ts';
import { readFitsNote } from '../../lib/formats/fits/note.ts';
import { openFits } from '../../lib/formats/fits/open.ts';
import { choosePicture } from '../../lib/formats/fits/select.ts';
import { decodeRiceTile, inflateTile } from '../../lib/formats/fits/tile-codec.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import { smallFile, smallManifest } from '../formats/fits/small.ts';
import { expectClean, type FuzzTarget } from './target.ts';

const files = [...new Set(smallManifest.map((row) => row.file))];
const file = (name: string) => smallFile(files.find((found) => found.startsWith(name))!);

/** Opens what can be opened and reads a few rows from both ends. */
const readSome = async (bytes: Uint8Array): Promise<void> => {
  const source = memorySource('fuzz.fits', bytes);
  const plane = await openFits(source, { plane: 0 });
  const rows = Math.min(plane.height, 3);
  const pixels = new Float32Array(rows * plane.width);
  await plane.readRows(0, rows, pixels);
  await plane.readRows(plane.height - rows, rows, pixels);
  await plane.checkSums?.();
};

const readHeaders = async (bytes: Uint8Array): Promise<void> => {
  const source = memorySource('fuzz.fits', bytes);
  await expectClean(() => readFitsNote(source));
  const { hdu, primary } = await choosePicture(plainBytes(source), {});
  readFacts(hdu.header, primary.header);
};

const packed = Uint8Array.from({ length: 600 }, (_, i) => (i * i) % 251);

/** What the fuzz driver and the tests throw mutated bytes at. */
export const fitsTargets: readonly FuzzTarget[] = [
  {
    name: 'FITS header',
    seeds: [
      'u16-plain',
      'i16-blank-scaled',
      'rice-f32-dither1',
      'extensions',
      'long-header',
      'utf8',
      'unmarked',
      'nul-after-end',
    ].map((name) => file(name).slice(0, 8640)),
    run: (bytes) => expectClean(() => readHeaders(bytes)),
  },
  {
    name: 'FITS file',
    seeds: files.map((name) => smallFile(name)),
    run: (bytes) => expectClean(() => readSome(bytes)),
  },
  {
    name: 'RICE_1 tile',
    seeds: [packed, Uint8Array.of(0, 5, 0x10, 0, 0x21, 0x80, 0xff, 3)],
    run: async (bytes) => {
      for (const bytesPerPixel of [1, 2, 4] as const) decodeRiceTile(bytes, 500, { blockSize: 32, bytesPerPixel });
    },
  },
  {
    name: 'gzip tile',
    seeds: [
      gzipSync(packed),
      gzipSync(new Uint8Array(600)),
      Buffer.concat([gzipSync(packed).subarray(0, 10), deflateRawSync(packed, { strategy: 4 })]),
    ].map((seed) => new Uint8Array(seed)),
    run: async (bytes) => {
      inflateTile(bytes, 600, [1]);
    },
  },
];
