import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openColourPlanes } from '../../../../lib/formats/colour-planes.ts';
import { memorySource } from '../../../../lib/plane/bytes.ts';
import { LinewashError } from '../../../../lib/plane/errors.ts';
import { displayTargets } from '../../../fuzz/display.ts';
import { mutate, seededRandom } from '../../../fuzz/mutate.ts';
import { buildTiff, type Tag } from '../build.ts';

const kept = (name: string) => new Uint8Array(readFileSync(new URL(`fixtures/${name}.tif`, import.meta.url)));
/** Libtiff puts strips first and tables last: the first frame and scan are those of strip or tile 0. */
const YCC = kept('ycc-strips');
const GREY = kept('grey');
const FRAME = [0xff, 0xc0];
const SCAN = [0xff, 0xda];
const TABLE = [0xff, 0xc4];

/** Bytes with others in the place of those at `offset` behind the first of a marker. */
const patched = (bytes: Uint8Array, mark: readonly number[], offset: number, ...others: number[]): Uint8Array => {
  const at = Buffer.from(bytes).indexOf(Uint8Array.from(mark));
  expect(at).toBeGreaterThan(0);
  const changed = bytes.slice();
  changed.set(others, at + offset);
  return changed;
};

const read = async (bytes: Uint8Array): Promise<void> => {
  for (const source of await openColourPlanes(memorySource('a.tif', bytes))) {
    const rows = Math.min(16, source.height);
    await source.readRows(0, rows, new Float32Array(source.width * rows));
  }
};

const refused = async (bytes: Uint8Array, reason: RegExp | string): Promise<void> => {
  const start = performance.now();
  const fault = await read(bytes).catch((cause: unknown) => cause);
  const took = performance.now() - start;
  expect(fault).toBeInstanceOf(LinewashError);
  expect(fault).toMatchObject({ tag: 'format', file: 'a.tif', message: expect.stringMatching(reason) });
  // 50 ms, and what a busy machine adds.
  expect(took).toBeLessThan(500);
};

describe('the stream of a strip is refused before it is decoded', () => {
  const streams: [string, Uint8Array, RegExp][] = [
    [
      'a frame of 65,535 pixels',
      patched(YCC, FRAME, 5, 255, 255, 255, 255),
      /strip 0 holds JPEG data of 65535 × 65535/,
    ],
    ['a frame of other rows', patched(YCC, FRAME, 5, 0, 8), /of 45 × 8 pixels where 45 × 16 are expected/],
    ['a progressive frame', patched(YCC, FRAME, 1, 0xc2), /of another kind than baseline/],
    ['a lossless frame', patched(YCC, FRAME, 1, 0xc3), /of another kind than baseline/],
    ['12 bits', patched(YCC, FRAME, 4, 12), /of 12 bits; only 8 are read/],
    ['other components', patched(YCC, FRAME, 9, 1), /of 1 components where 3/],
    ['samplings that do not fit', patched(YCC, FRAME, 11, 0x33), /damaged JPEG frame header/],
    ['more blocks a step than allowed', patched(YCC, FRAME, 11, 0x44), /damaged JPEG frame header/],
    [
      'colours finer than luminance',
      patched(YCC, FRAME, 11, 0x11, 0, 2, 0x22, 1, 3, 0x22),
      /unusual number of samples/,
    ],
    ['components of one name', patched(YCC, FRAME, 13, 1), /damaged JPEG frame header/],
    ['two frames', patched(YCC, SCAN, 1, 0xc0), /damaged|two JPEG frames|expected/],
    ['a scan of a part of the coefficients', patched(YCC, SCAN, 11, 1), /damaged JPEG scan header/],
    ['a scan of unknown components', patched(YCC, SCAN, 5, 9), /damaged JPEG scan header/],
    ['a scan that leaves the strip', patched(YCC, SCAN, 2, 255, 255), /end early/],
    ['a marker without a place', patched(YCC, FRAME, 1, 0xdc), /marker dc, which has no place/],
    ['no marker', patched(YCC, FRAME, 0, 0), /a marker is missing/],
    ['no start', patched(YCC, FRAME, -1, 0xd9), /holds no JPEG data/],
    ['a code book with too many codes', patched(YCC, TABLE, 5, 3), /table of JPEG codes holds a damaged JPEG Huffman/],
    ['a restart marker too many', patched(GREY, SCAN, 12, 0xff, 0xd0), /1 restart markers where 0 are expected/],
    ['coded data that end early', patched(YCC, SCAN, 20, 0xff, 0xd9), /cannot be decoded|end early/],
  ];
  it.each(streams)('%s', (_, bytes, reason) => refused(bytes, reason));
});

const JPEG: Tag = [259, 3, [7]];
const colour = (photometric: number, ...more: Tag[]): Tag[] => {
  const own = new Set(more.map(([tag]) => tag));
  const usual: Tag[] = [
    [256, 4, [64]],
    [257, 4, [64]],
    [258, 3, [8, 8, 8]],
    JPEG,
    [262, 3, [photometric]],
    [277, 3, [3]],
    [278, 4, [64]],
  ];
  return [...usual.filter(([tag]) => !own.has(tag)), ...more];
};
const file = (tags: Tag[], chunks: readonly Uint8Array[] = [new Uint8Array(900)], tiled = false) =>
  buildTiff([{ tags, chunks, tiled }]);

describe('the directory is refused before anything of its size is allocated', () => {
  const cases: [string, Uint8Array, RegExp][] = [
    [
      'a strip of 16 million pixels',
      file(colour(6, [256, 4, [4096]], [257, 4, [4096]], [278, 4, [4096]]), [new Uint8Array(1 << 17)]),
      /strips of 4096 × 4096 pixels are too large/,
    ],
    ['a picture of 2³¹ pixels a side', file(colour(6, [256, 4, [0x7fffffff]], [257, 4, [0x7fffffff]])), /too large/],
    [
      'large tiles',
      file(colour(2, [322, 4, [8192]], [323, 4, [8192]]), undefined, true),
      /tiles of 8192 × 8192 pixels are too large/,
    ],
    [
      'more pixels than its bytes can hold',
      file(colour(6, [256, 4, [2048]], [257, 4, [2048]], [278, 4, [2048]])),
      /strip 0 is too short for its pixels: 900 bytes/,
    ],
    ['a strip behind the end', file(colour(6, [273, 4, [99_999_999]])), /lies beyond its end/],
    [
      'a strip that is not stored',
      file(colour(6, [273, 4, [0]], [279, 4, [0]])),
      /some of its strips are not stored|almost all/,
    ],
    [
      'fewer strips than its rows ask for',
      file(colour(6, [278, 4, [8]])),
      /lists 1 strips or tiles where its size asks for 8/,
    ],
    ['16 bits', file(colour(2, [258, 3, [16, 16, 16]])), /samples; only u8 are read/],
    ['four samples', file(colour(2, [258, 3, [8, 8, 8, 8]], [277, 3, [4]])), /4 samples where 3 are expected/],
    ['inks', file(colour(5, [258, 3, [8, 8, 8, 8]], [277, 3, [4]])), /printing inks/],
    [
      'differences as planes',
      file(colour(6, [284, 3, [2]]), [new Uint8Array(900), new Uint8Array(900), new Uint8Array(900)]),
      /as planes of their own/,
    ],
    [
      'another mix of luminance',
      file(colour(6, [529, 5, [2126, 10_000, 7152, 10_000, 722, 10_000]])),
      /an unusual mix of luminance/,
    ],
    [
      'a video range',
      file(colour(6, [532, 5, [16, 1, 235, 1, 128, 1, 240, 1, 128, 1, 240, 1]])),
      /an unusual range of colours/,
    ],
    [
      'tables of a megabyte',
      file(colour(6, [347, 7, Array.from({ length: 1 << 17 }, () => 0)])),
      /tables take 131072 bytes/,
    ],
    ['tables that are none', file(colour(6, [347, 7, [1, 2, 3, 4, 5, 6]])), /table of JPEG codes holds damaged/],
    ['a predictor', file(colour(2, [317, 3, [2]])), /states a predictor/],
    ['bytes that are no JPEG', file(colour(6)), /strip 0 holds damaged JPEG data|no JPEG/],
  ];
  it.each(cases)('%s', (_, bytes, reason) => refused(bytes, reason));

  it('of the older kind of JPEG', () =>
    refused(file(colour(6, [259, 3, [6]])), /it is an old-style JPEG picture, which is not read/));

  it.each([
    [34712, 'JPEG 2000'],
    [34887, 'LERC'],
    [50001, 'WebP'],
    [52546, 'JPEG XL'],
  ])('of kinds that are not read, and not as one that lacks a plane: %i', (code, name) =>
    refused(file(colour(2, [259, 3, [code]])), `its compression \\(${name} ${code}\\) is not read`),
  );
});

describe('mutated JPEG in TIFF', () => {
  const [target] = displayTargets;
  it('gives errors of our own, or samples in range', async () => {
    const random = seededRandom(29);
    for (let i = 0; i < 600; i++) {
      const seed = target!.seeds[i % target!.seeds.length]!;
      const start = performance.now();
      await target!.run(mutate(seed, random));
      expect(performance.now() - start).toBeLessThan(2000);
    }
  });
});
