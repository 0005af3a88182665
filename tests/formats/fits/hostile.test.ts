import { deflateRawSync, gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { openFits } from '../../../lib/formats/fits/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { processorTime } from '../../processor-time.ts';
import { card, data, extension, failure, header, image, join } from './build.ts';

const MEGABYTE = 2 ** 20;
const zip = (...parts: Uint8Array[]) => new Uint8Array(gzipSync(join(...parts), { level: 9 }));
const repeat = (part: Uint8Array, times: number) => join(...Array.from({ length: times }, () => part));

/** A tile table whose one tile promises much. */
const tile = (codec: string, side: number, heap: Uint8Array, ...more: string[]) =>
  join(
    image(8, []),
    header(
      card('XTENSION', "'BINTABLE'"),
      card('BITPIX', 8),
      card('NAXIS', 2),
      card('NAXIS1', 8),
      card('NAXIS2', 1),
      card('PCOUNT', heap.length),
      card('GCOUNT', 1),
      card('TFIELDS', 1),
      card('TTYPE1', "'COMPRESSED_DATA'"),
      card('TFORM1', "'1PB'"),
      card('ZIMAGE', 'T'),
      card('ZCMPTYPE', `'${codec}'`),
      card('ZBITPIX', 16),
      card('ZNAXIS', 2),
      card('ZNAXIS1', side),
      card('ZNAXIS2', side),
      card('ZTILE1', side),
      card('ZTILE2', side),
      ...more,
    ),
    data([0, 0, heap.length >> 8, heap.length & 255, 0, 0, 0, 0, ...heap]),
  );

const zeros = new Uint8Array(2000);
const files: [string, () => Uint8Array][] = [
  ['an image that fits no memory', () => image(-64, [900_000, 900_000])],
  [
    'axes whose product overflows',
    () =>
      image(
        8,
        Array.from({ length: 20 }, () => 1000),
      ),
  ],
  ['999 axes, the last too long', () => image(8, [...Array.from({ length: 998 }, () => 1), 10])],
  [
    'GCOUNT beyond reason',
    () =>
      join(
        image(8, []),
        header(
          card('XTENSION', "'IMAGE'"),
          card('BITPIX', 64),
          card('NAXIS', 1),
          card('NAXIS1', 9),
          card('PCOUNT', '9E15'),
          card('GCOUNT', '9E15'),
        ),
      ),
  ],
  [
    'a header without end',
    () => join(new TextEncoder().encode('SIMPLE  = T'), new Uint8Array(30 * MEGABYTE).fill(0x20)),
  ],
  ['thousands of empty extensions and then none', () => join(image(8, []), repeat(extension('IMAGE', 8, []), 5000))],
  [
    'CONTINUE cards for megabytes',
    () =>
      join(
        header(
          card('SIMPLE', 'T'),
          "LONG    = 'a&'",
          ...Array.from({ length: 20_000 }, () => `CONTINUE  '${'x'.repeat(67)}&'`),
          card('BITPIX', 9),
        ),
      ),
  ],
  [
    'forty thousand odd cards',
    () =>
      header(
        card('SIMPLE', 'T'),
        ...Array.from({ length: 40_000 }, (_, i) => `${`k${i}`.padEnd(8)}= odd`),
        card('BITPIX', 9),
      ),
  ],
  ['gzip of a huge empty picture', () => zip(image(8, [30_000, 30_000]), new Uint8Array(60 * MEGABYTE))],
  ['gzip that is no picture', () => zip(new Uint8Array(60 * MEGABYTE))],
  [
    'gzip whose header never ends',
    () => zip(new TextEncoder().encode('SIMPLE  = T'), new Uint8Array(60 * MEGABYTE).fill(0x20)),
  ],
  ['thousands of empty gzip members', () => repeat(zip(new Uint8Array(0)), 5000)],
  ['gzip of gzip', () => zip(zip(image(8, [9, 9]), new Uint8Array(2880)))],
  ['a Rice tile of 64 million pixels in 2 kB', () => tile('RICE_1', 8000, zeros)],
  [
    'the same with the longest blocks',
    () => tile('RICE_1', 8000, zeros, card('ZNAME1', "'BLOCKSIZE'"), card('ZVAL1', 256)),
  ],
  ['a gzip tile of 64 million pixels in 2 kB', () => tile('GZIP_1', 8000, zip(new Uint8Array(MEGABYTE)))],
  ['an uncompressed tile of 64 million pixels in 2 kB', () => tile('NOCOMPRESS', 8000, zeros)],
  ['a tile of gigapixels', () => tile('RICE_1', 999_999, zeros)],
  ['a gzip tile that inflates beyond its pixels', () => tile('GZIP_2', 20, zip(new Uint8Array(MEGABYTE)))],
  ['TFIELDS beyond reason', () => tile('RICE_1', 8, zeros, card('THEAP', '9E15'))],
  ['deflate data without a container', () => new Uint8Array(deflateRawSync(zeros))],
];

describe('hostile files end in an error within a second and in little memory', () => {
  it.each(files)('%s', async (_, make) => {
    const bytes = make();
    const before = process.memoryUsage().arrayBuffers;
    let most = before;
    const source = memorySource('hostile.fits', bytes);
    const watched = {
      ...source,
      read: (offset: number, length: number) => {
        most = Math.max(most, process.memoryUsage().arrayBuffers);
        return source.read(offset, length);
      },
    };
    const start = processorTime();
    const error = await failure(
      openFits(watched).then(async (plane) => {
        await plane.readRows(0, 1, new Float32Array(plane.width));
      }),
    );
    expect(processorTime() - start).toBeLessThan(1000);
    expect(Math.max(most, process.memoryUsage().arrayBuffers) - before).toBeLessThan(64 * MEGABYTE);
    expect(error.tag).toBe('format');
  });
});
