import { deflateRawSync, gzipSync } from 'node:zlib';
import { plainBytes } from '../../lib/formats/fits/bytes.ts';
import { readFacts } from '../../lib/formats/fits/facts.ts';
import { readFitsNote } from '../../lib/formats/fits/note.ts';
import { openFits } from '../../lib/formats/fits/open.ts';
import { choosePicture } from '../../lib/formats/fits/select.ts';
import { readSky, skyCards, skyKeywords } from '../../lib/formats/fits/sky.ts';
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

/** Cards of world coordinates in every form that is read. */
const SKIES = [
  `CD1_1   = -2.7E-4
CD1_2   = 1.1E-5
CD2_1   = 1.1E-5
CD2_2   = 2.7E-4
A_ORDER = 3
A_2_0   = 1.5E-6
A_0_3   = -2E-9
B_ORDER = 2
B_1_1   = 3E-6
RADESYS = 'ICRS'`,
  `CDELT1  = -2.7E-4
CDELT2  = 2.7E-4
PC1_1   = .9
PC1_2   = -.4
PC2_1   = .4
PC2_2   = .9
PV2_1   = 1.
ROWORDER= 'TOP-DOWN'`,
  `CDELT1  = -2.7E-4
CDELT2  = 2.7E-4
CROTA2  = 33.5
EQUINOX = 2000.`,
  // Numbers that are right one by one, and whose products are none.
  `CDELT1  = -2.7E200
CDELT2  = 2.7E200
PC1_1   = 9E199
PC2_2   = 9E199`,
].map((form) =>
  Uint8Array.from(
    Buffer.from(
      `SIMPLE  =                    T
BITPIX  =                    8
NAXIS   =                    2
NAXIS1  =                    9
NAXIS2  =                    7
CTYPE1  = 'RA---TAN-SIP'
CTYPE2  = 'DEC--TAN-SIP'
CRVAL1  = 83.6
CRVAL2  = -5.4
CRPIX1  = 5.
CRPIX2  = 4.
${form}
END`
        .split('\n')
        .map((line) => line.padEnd(80))
        .join('')
        .padEnd(2880),
    ),
  ),
);

/** What a header says of the sky can be written again, and then says the same. */
const readSkies = async (bytes: Uint8Array): Promise<void> => {
  const { hdu, primary } = await choosePicture(plainBytes(memorySource('fuzz.fits', bytes)), {});
  const sky = readSky(readFacts(hdu.header, primary.header).cards, 7);
  if (sky === undefined) return;
  const keywords = skyKeywords(sky);
  for (const [keyword, value] of Object.entries(keywords))
    if (typeof value === 'number' && !Number.isFinite(value)) throw new RangeError(`${keyword} is ${value}`);
  const again = readSky(skyCards(sky, 2), 7);
  if (JSON.stringify(again && skyKeywords(again)) !== JSON.stringify(keywords))
    throw new RangeError(`${JSON.stringify(keywords)} became ${JSON.stringify(again)}`);
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
  { name: 'WCS cards', seeds: SKIES, run: (bytes) => expectClean(() => readSkies(bytes)) },
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
