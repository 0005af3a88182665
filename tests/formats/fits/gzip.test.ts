import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { gzipBytes } from '../../../lib/formats/fits/gzip-bytes.ts';
import { openFits } from '../../../lib/formats/fits/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { seededRandom } from '../../fuzz/mutate.ts';
import { card, data, failure, image, join } from './build.ts';
import { readAll } from './expected.ts';

const random = seededRandom(5);
const MEGABYTE = 2 ** 20;
const large = Uint8Array.from({ length: 9 * MEGABYTE }, (_, i) => (i >> 10) + random() * 4);
const zip = (bytes: Uint8Array, level = 1) => new Uint8Array(gzipSync(bytes, { level }));
const open = (bytes: Uint8Array) => gzipBytes(memorySource('a.gz', bytes));
const small = join(image(8, [3, 2]), data([1, 2, 3, 4, 5, 6]));

describe('gzipBytes', () => {
  it('reads anywhere in any order, also at once', async () => {
    const bytes = open(join(zip(large.subarray(0, 5_000_000)), zip(large.subarray(5_000_000), 0)));
    const places = [0, 8_000_000, 4_999_000, 100, 9 * MEGABYTE - 700, 3_000_000, 3_000_001, 7 * MEGABYTE, 262_000];
    const found = await Promise.all(places.map((place) => bytes.read(place, 700)));
    for (const [i, part] of found.entries()) expect(part).toEqual(large.subarray(places[i], places[i]! + 700));
    expect(await bytes.read(1_000_000, 3_000_000)).toEqual(large.subarray(1_000_000, 4_000_000));
  });

  it('knows what is available only as far as asked', async () => {
    const reads: number[] = [];
    const packed = zip(large);
    const whole = memorySource('a.gz', packed);
    const bytes = gzipBytes({
      ...whole,
      read: (offset, length) => {
        reads.push(offset);
        return whole.read(offset, length);
      },
    });
    expect(await bytes.available(0, 2880)).toBe(2880);
    expect(Math.max(...reads)).toBeLessThan(packed.length / 4);
    expect(await bytes.available(large.length - 10, 100)).toBe(10);
    expect(await bytes.available(large.length + 10, 100)).toBe(0);
    expect(await bytes.available(0, 10)).toBe(10);
  });

  it('refuses reads beyond the end', async () => {
    expect((await failure(open(zip(small)).read(small.length - 1, 2))).message).toContain('end early');
  });

  it('thins out the places to go back to in large files', async () => {
    const zeros = new Uint8Array(150 * MEGABYTE);
    zeros[140 * MEGABYTE] = 7;
    const bytes = open(zip(zeros));
    expect(await bytes.available(0, zeros.length)).toBe(zeros.length);
    expect([...(await bytes.read(140 * MEGABYTE - 1, 3))]).toEqual([0, 7, 0]);
    expect([...(await bytes.read(MEGABYTE, 1))]).toEqual([0]);
  });
});

/** A gzip file with the optional fields of RFC 1952, section 2.3. */
const withFields = (flags: number, ...fields: number[]) => {
  const plain = zip(small);
  const header = plain.slice(0, 10);
  header[3] = flags;
  return join(header, Uint8Array.from(fields), plain.slice(10));
};

describe('gzip files', () => {
  it.each([
    ['plain', zip(small)],
    ['a name', withFields(8, 0x61, 0)],
    ['extra field, name, comment and header checksum', withFields(30, 3, 0, 1, 2, 3, 0x61, 0, 0x62, 0x63, 0, 9, 9)],
    ['something behind', join(zip(small), Uint8Array.of(1, 2, 3))],
    ['an empty member in front', join(zip(new Uint8Array(0)), zip(small))],
  ])('with %s', async (_, bytes) => {
    const plane = await openFits(memorySource('a.fits', bytes));
    expect([...(await readAll(plane))]).toEqual([4, 5, 6, 1, 2, 3]);
  });

  it.each([
    ['a cut header', zip(small).slice(0, 12), 'the header of a member'],
    ['another method', withFields(0).fill(7, 2, 3), 'the header of a member'],
    [
      'a name without end',
      join(zip(small).slice(0, 3), Uint8Array.of(8), new Uint8Array(40).fill(65)),
      'the header of a member',
    ],
    ['an extra field beyond the file', withFields(4, 255, 255), 'the header of a member'],
    ['a cut trailer', zip(small).slice(0, -3), 'it ends early'],
    ['a wrong checksum', zip(small).fill(1, -8, -4), 'the checksum does not fit'],
    ['a wrong length', zip(small).fill(1, -4), 'the checksum does not fit'],
    ['something else inside', zip(new TextEncoder().encode('<html>'.repeat(99))), 'not a FITS file'],
    ['too few pixels', zip(small.slice(0, 2885)), 'promises 6 bytes of pixels, 5 are there'],
    ['a promise beyond 4 GiB', zip(join(image(8, [99_999, 99_999]))), 'larger than 4 GiB'],
    ['a promise beyond what can be in it', zip(join(image(8, [9_999, 9_999]))), 'ends early'],
  ])('with %s are refused', async (_, bytes, message) => {
    expect((await failure(openFits(memorySource('a.fits', bytes)))).message).toContain(message);
  });

  it('check the end where the picture is last, whatever the header says', async () => {
    const bytes = zip(join(image(8, [3, 2], card('EXTEND', 'T')), data([1, 2, 3, 4, 5, 6])));
    bytes[bytes.length - 5]! ^= 1;
    expect((await failure(openFits(memorySource('a.fits', bytes)))).message).toContain('checksum');
  });
});
