import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { addBytes } from '../../../lib/formats/fits/checksum.ts';
import { openFits } from '../../../lib/formats/fits/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { seededRandom } from '../../fuzz/mutate.ts';
import { card, data, image, join as joined } from './build.ts';
import { smallFile } from './small.ts';

const found = async (bytes: Uint8Array) => (await openFits(memorySource('a.fits', bytes))).checkSums?.();

/** Where the data of the first extension begin, which is the last HDU. */
const dataAt = (bytes: Uint8Array): number => {
  const ends = [
    ...Buffer.from(bytes)
      .toString('latin1')
      .matchAll(/END {77}/g),
  ].map(({ index }) => index);
  return Math.ceil((ends.at(-1)! + 80) / 2880) * 2880;
};

const PIXELS = 'DATASUM does not match the pixels: the file was damaged or changed after it was written';
const HEADER = 'CHECKSUM does not match, but DATASUM does: the pixels are intact, the header was changed';
const EITHER = 'CHECKSUM does not match: the file was damaged or changed after it was written';

/** Puts text over a header's first match of `pattern`, of the same length. */
const edited = (bytes: Uint8Array, pattern: RegExp, text: string): Uint8Array => {
  const start = Buffer.from(bytes).toString('latin1').search(pattern);
  expect(start).toBeGreaterThan(0);
  const copy = bytes.slice();
  copy.set(Buffer.from(text, 'latin1'), start);
  return copy;
};

describe.each(['sums-u16.fits', 'sums-f32.fits', 'sums-tiles.fits'])('the checksums of %s', (name) => {
  const bytes = smallFile(name);

  it('fit', async () => expect(await found(bytes)).toEqual([]));

  it('show every changed bit of the pixels', async () => {
    const random = seededRandom(5);
    const start = dataAt(bytes);
    for (let i = 0; i < 40; i++) {
      const changed = bytes.slice();
      changed[start + Math.floor(random() * (bytes.length - start))]! ^= 1 << Math.floor(random() * 8);
      expect(await found(changed)).toEqual([PIXELS]);
    }
  });

  it('tell a changed header from changed pixels', async () => {
    const changed = edited(bytes, /END {77}(?![\s\S]*END {77})/, "FILTER  = 'Ha'".padEnd(80).concat('END'));
    expect(await found(changed)).toEqual([HEADER]);
  });

  it('are one alone where the other is not there, empty or not computed', async () => {
    const last = (keyword: string) => new RegExp(`${keyword} *= (?![\\s\\S]*${keyword} *= )`);
    const alone = edited(bytes, last('DATASUM'), 'XATASUM');
    expect(await found(alone)).toEqual([EITHER]);
    expect(await found(edited(bytes, last('CHECKSUM'), "CHECKSUM= ''".padEnd(30)))).toEqual([]);
    const zeros = edited(bytes, last('CHECKSUM'), "CHECKSUM= '0000000000000000'");
    expect(await found(zeros)).toEqual([]);
    expect(await found(edited(zeros, last('DATASUM'), "DATASUM = ''".padEnd(30)))).toBeUndefined();
    expect(await found(edited(zeros, last('DATASUM'), "DATASUM = 'seven'".padEnd(30)))).toEqual([PIXELS]);
  });
});

it('is not looked for where there is none', async () => {
  expect(await found(smallFile('u16-plain.fits'))).toBeUndefined();
});

it('takes missing padding for zeros', async () => {
  const cards = (sum: string) => image(8, [5, 1], card('DATASUM', `'${sum}'`));
  // 0x01020304 + 0x05000000
  const sum = String(0x06020304);
  const whole = joined(cards(sum), data([1, 2, 3, 4, 5]));
  expect(await found(whole)).toEqual([]);
  expect(await found(whole.slice(0, 2880 + 5))).toEqual([]);
  expect(await found(joined(cards('1'), data([1, 2, 3, 4, 5])))).toEqual([PIXELS]);
});

it('sums words most significant byte first, with the carry coming round, wherever the bytes lie', () => {
  const random = seededRandom(11);
  for (const length of [0, 1, 3, 4, 7, 1024, 1028, 4096, 70_001]) {
    const bytes = Uint8Array.from({ length: length + 8 }, () => (random() < 0.5 ? 255 : Math.floor(random() * 256)));
    for (const offset of [0, 1, 4]) {
      const part = bytes.subarray(offset, offset + length);
      let sum = 0xfffffff0n;
      for (let i = 0; i < length; i += 4)
        sum += BigInt(Buffer.concat([part.subarray(i, i + 4), new Uint8Array(4)]).readUInt32BE(0));
      while (sum > 0xffffffffn) sum = (sum & 0xffffffffn) + (sum >> 32n);
      expect(addBytes(0xfffffff0, part)).toBe(Number(sum));
    }
  }
});

const judge = spawnSync('fitsverify', ['-h']).error === undefined;

describe.skipIf(!judge)('fitsverify agrees', () => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-sums-'));
  afterAll(() => rmSync(folder, { recursive: true }));

  it.each(['sums-u16.fits', 'sums-f32.fits'])('on %s, whole and with a changed pixel', async (name) => {
    const bytes = smallFile(name);
    const changed = bytes.slice();
    changed[dataAt(bytes) + 3]! ^= 4;
    for (const [i, file] of [bytes, changed].entries()) {
      writeFileSync(join(folder, name), file);
      const { stdout } = spawnSync('fitsverify', [join(folder, name)], { encoding: 'utf8' });
      expect(/checksum/i.test(stdout)).toBe(i === 1);
      expect((await found(file))!.length).toBe(i);
    }
  });
});
