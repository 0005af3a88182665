import { readFileSync } from 'node:fs';
import { deflateSync } from 'node:zlib';
import { readJpegNote } from '../../lib/formats/jpeg/note.ts';
import { jpegEncoder } from '../../lib/formats/jpeg/write.ts';
import { readPngNote } from '../../lib/formats/png/note.ts';
import { inflateStream } from '../../lib/formats/tiff/inflate.ts';
import { lzwStream } from '../../lib/formats/tiff/lzw.ts';
import { readTiffNote } from '../../lib/formats/tiff/note.ts';
import { openTiff } from '../../lib/formats/tiff/open.ts';
import { packBitsStream } from '../../lib/formats/tiff/packbits.ts';
import { type ByteStream, type Pieces, piecesOf } from '../../lib/formats/tiff/stream.ts';
import { tiffLayout } from '../../lib/formats/tiff/write.ts';
import { zstdStream } from '../../lib/formats/tiff/zstd.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import { noteText, type PictureNote, parseNote } from '../../lib/recipe/share/note.ts';
import { utf8 as bytesOf, chunk, SIGNATURE } from '../formats/png/chunks.ts';
import { frameBytes, ZSTD_FRAMES } from '../formats/zstd/frames.ts';
import { expectClean, type FuzzTarget } from './target.ts';

const kept = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(`../formats/tiff/fixtures/${name}.tif`, import.meta.url)));

const FILES = [
  'u1-L-one-strip-lzw',
  'u1-le-zip2',
  'u2-be-zip2',
  'u2-B-lzw2',
  'u2-L-packbits',
  'i2-be-rows5',
  'u4-le-tiles',
  'f4-le-big',
  'f4-be-tiles',
  'f8-be-zip',
  'f4-L-lzw3',
  'f4-B-zip3',
  'u2-B-zstd2',
  'f4-B-zstd3',
  'pages',
  'thumbnail-first',
  'planar-plain',
  'grey-and-unassalpha',
  'nodata-f4-9999',
  'orientation3-plain',
  'white-is-zero-u2',
  'unstored-u2-plain',
  'unstored-f4-zlib',
  'count-zero',
  'inside-full',
  'inside-thumbnail',
  'u8-be-zip2',
];

/** More than any seed's pixels: what opens larger is not read whole. */
const MOST = 1 << 16;

const readSome = async (bytes: Uint8Array): Promise<void> => {
  const selects = [{}, { plane: 0 }, { page: [0, bytes.length & 1] }];
  const plane = await openTiff(memorySource('fuzz.tif', bytes), selects[bytes.length % 3]);
  const rows = Math.min(plane.height, Math.floor(MOST / plane.width));
  const pixels = new Float32Array(rows * plane.width);
  await plane.readRows(0, rows, pixels);
  await plane.readRows(plane.height - rows, rows, pixels);
};

const readDirectory = async (bytes: Uint8Array): Promise<void> => {
  const source = memorySource('fuzz.tif', bytes);
  await expectClean(() => readTiffNote(source));
  await openTiff(source);
};

const decode = (open: (pieces: Pieces) => ByteStream) => (bytes: Uint8Array) =>
  expectClean(async () => {
    const stream = open(piecesOf(memorySource('fuzz', bytes), 0, bytes.length, 'strip 0'));
    try {
      for (let i = 0; i < 8; i++) await stream.fill(new Uint8Array(999));
    } finally {
      stream.close();
    }
  });

const note = '{"linewash":1,"matrix":[[1,0,0],[0,1,0],[0,0,1]]}';
const utf8 = (text: string): Uint8Array => Uint8Array.from(bytesOf(text));
const guarded = noteText({
  linewash: 1,
  recipe: {
    matrix: [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ],
  },
  settled: {},
  inputs: [],
  writer: '0',
} as unknown as PictureNote);
const written = tiffLayout({ width: 90, height: 80, bands: 3, sample: 'u16', space: 'display-p3', note }).head;
const png = (name: string) =>
  new Uint8Array(readFileSync(new URL(`../formats/png/fixtures/${name}.png`, import.meta.url)));

/** A picture whose chunks all have the right CRC whatever was mutated, so that what lies behind it is reached. */
const sealed = (text: Uint8Array): Uint8Array =>
  new Uint8Array([...SIGNATURE, ...chunk('iTXt', [...text]), ...chunk('IEND', [])]);
const packed = (flags: readonly number[], zlib: Uint8Array) =>
  Uint8Array.from([...utf8('linewash\0'), ...flags, ...utf8('en\0note\0'), ...zlib]);

/** What the fuzz driver and the tests throw mutated bytes at. */
export const tiffTargets: readonly FuzzTarget[] = [
  {
    name: 'TIFF directory',
    // Directory first and no pixels: nearly every change hits the directory.
    seeds: [
      written,
      kept('inside-full'),
      kept('inside-thumbnail'),
      kept('f4-le-big').slice(0, 400),
      kept('pages').slice(0, 300),
      kept('u2-be-rows5').slice(0, 300),
    ],
    run: (bytes) => expectClean(() => readDirectory(bytes)),
  },
  { name: 'TIFF file', seeds: FILES.map(kept), run: (bytes) => expectClean(() => readSome(bytes)) },
  { name: 'LZW strip', seeds: [kept('u1-L-one-strip-lzw').slice(8, 6000)], run: decode(lzwStream) },
  { name: 'PackBits strip', seeds: [kept('u2-L-packbits').slice(8, 700)], run: decode(packBitsStream) },
  { name: 'deflate strip', seeds: [new Uint8Array(deflateSync(kept('u2-be-rows5')))], run: decode(inflateStream) },
  {
    name: 'Zstandard strip',
    seeds: [
      kept('u1-L-one-strip-zstd').slice(8, 6600),
      kept('u2-B-zstd2').slice(8, 700),
      kept('f4-B-zstd3').slice(8, 700),
      ...ZSTD_FRAMES.map(frameBytes),
    ],
    run: decode(zstdStream),
  },
  {
    name: 'PNG note',
    seeds: [png('note'), png('compressed')],
    run: (bytes) => expectClean(() => readPngNote(memorySource('fuzz.png', bytes))),
  },
  {
    name: 'sealed PNG note',
    seeds: [
      packed([0, 0], utf8(note)),
      packed([1, 0], deflateSync(note)),
      packed([1, 0], deflateSync(kept('f4-le-big'))),
    ],
    run: (bytes) => expectClean(() => readPngNote(memorySource('fuzz.png', sealed(bytes)))),
  },
  {
    name: 'JPEG note',
    seeds: [note, note.padEnd(70_000)].map(
      (text) => jpegEncoder({ width: 9, height: 9, bands: 3, sample: 'u8', space: 'srgb', note: text }).head,
    ),
    run: (bytes) => expectClean(() => readJpegNote(memorySource('fuzz.jpg', bytes))),
  },
  {
    name: 'note of a picture',
    seeds: [utf8(note), utf8(guarded)],
    run: (bytes) => expectClean(() => parseNote(new TextDecoder().decode(bytes), 'fuzz.tif')),
  },
];
