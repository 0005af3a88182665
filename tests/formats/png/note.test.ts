import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateRawSync, deflateSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import { readPngNote } from '../../../lib/formats/png/note.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import type { LinewashError } from '../../../lib/plane/errors.ts';
import { big, chunk, crc, SIGNATURE, utf8 } from './chunks.ts';

const note = (text: string, keyword = 'linewash') => chunk('iTXt', utf8(`${keyword}\0\0\0\0\0${text}`));
const END = chunk('IEND', []);
const read = (...chunks: number[][]) =>
  readPngNote(memorySource('a.png', Uint8Array.from([...SIGNATURE, ...chunks.flat()])));

describe('the note of a PNG', () => {
  it.each(['{"a": 1}', '\ufeff{"a": "ä β"}', ''])('is what was written, to the byte: %j', async (text) => {
    expect(await read(chunk('IHDR', [1, 2, 3]), note(text), END)).toBe(text);
  });

  it('is not that of others', async () => {
    const others = [note('{}', 'Comment'), chunk('iTXt', utf8('line')), chunk('tEXt', utf8('linewash\0{}'))];
    expect(await read(...others, END)).toBeUndefined();
    expect(await read(...others, note('{"b": 2}'), END)).toBe('{"b": 2}');
  });

  it('is not looked for behind the end', async () => {
    expect(await read(END, note('{}'))).toBeUndefined();
    expect(await read()).toBeUndefined();
  });

  it('is refused where a chunk leaves the file, and where it is no PNG', async () => {
    await expect(read(chunk('IDAT', [1, 2], 99))).rejects.toMatchObject({ tag: 'format' });
    await expect(read([0, 0])).rejects.toMatchObject({ tag: 'format' });
    for (const bytes of [SIGNATURE.slice(0, 7), SIGNATURE.with(3, 0x48)])
      await expect(readPngNote(memorySource('a.png', Uint8Array.from(bytes)))).rejects.toThrow(/not a PNG/);
  });
});

const packed = (zlib: Uint8Array, flags = [1, 0], middle = '\0\0') =>
  chunk('iTXt', [...utf8('linewash\0'), ...flags, ...utf8(middle), ...zlib]);
const fixture = (name: string) => new Uint8Array(readFileSync(new URL(`fixtures/${name}`, import.meta.url)));

describe('a compressed note', () => {
  it('is read as another writer wrote it, with language and translated keyword', async () => {
    const text = await readPngNote(memorySource('compressed.png', fixture('compressed.png')));
    expect(JSON.parse(text!)).toMatchObject({ linewash: 1, recipe: { name: 'β' } });
  });

  it.each([
    ['empty', ''],
    ['short', '{"a": "ä β 🔭"}'],
    ['long', JSON.stringify(Array.from({ length: 60_000 }, (_, i) => i * i))],
  ])('is what was written, to the byte: %s', async (_name, text) => {
    for (const level of [0, 1, 9]) expect(await read(packed(deflateSync(text, { level })), END)).toBe(text);
  });

  const good = deflateSync('{"a": 1}'.repeat(20));
  const cases: [string, Uint8Array, RegExp][] = [
    ['no zlib stream', good.with(0, 0x79), /no zlib stream/],
    ['a dictionary', Uint8Array.from([0x78, 0xbb, ...good.subarray(2)]), /no zlib stream/],
    ['nothing', new Uint8Array(0), /no zlib stream/],
    ['a cut stream', good.subarray(0, 12), /ends early/],
    ['a stream without its checksum', good.subarray(0, -2), /ends early/],
    ['a wrong checksum', good.with(good.length - 1, good.at(-1)! ^ 1), /its checksum does not match/],
    ['an unknown block', Uint8Array.from([0x78, 0x9c, 7, 0, 0, 0, 0]), /unknown type/],
  ];
  it.each(cases)('is refused where it is damaged: %s', async (_name, zlib, message) => {
    const error = (await read(packed(zlib), END).catch((cause) => cause)) as LinewashError;
    expect(error.tag).toBe('format');
    expect(error.message).toMatch(message);
  });

  it('is refused where it is compressed in another way, or ends before its text', async () => {
    await expect(read(packed(good, [1, 1]), END)).rejects.toThrow(/in an unknown way/);
    await expect(read(packed(good, [2, 0]), END)).rejects.toThrow(/in an unknown way/);
    for (const rest of ['linewash\0', 'linewash\0\0\0', 'linewash\0\0\0en', 'linewash\0\0\0\0no end'])
      await expect(read(chunk('iTXt', utf8(rest)), END)).rejects.toThrow(/ends before its text/);
  });

  it('may not inflate to more than 16 MiB, and takes little memory until it does', async () => {
    // 16 MiB of zeros in 16 kB, and one byte more.
    const [most, bomb] = [1 << 24, (1 << 24) + 1].map((length) => deflateSync(Buffer.alloc(length), { level: 9 }));
    expect((await read(packed(most!), END))!.length).toBe(1 << 24);
    await expect(read(packed(bomb!), END)).rejects.toThrow(/holds more than 16777216 bytes/);
    const huge = Buffer.concat([Buffer.from([0x78, 0x9c]), deflateRawSync(Buffer.alloc(1 << 26), { level: 9 })]);
    await expect(read(packed(huge), END)).rejects.toThrow(/holds more than/);
  });
});

describe('the checksum of a chunk', () => {
  const other = chunk('tEXt', utf8('Title\0words'));
  const spoiled = (bytes: readonly number[], at: number) => bytes.with(at, bytes[at]! ^ 1);

  it.each([
    ['of the note itself', other, spoiled(note('{"a": .25}'), 25)],
    ['of a chunk before it', spoiled(other, 12), note('{}')],
    ['as it is stored', other, spoiled(note('{}'), note('{}').length - 1)],
    ['of the note whose type is changed', other, spoiled(note('{}'), 4)],
  ])('is checked: %s', async (_name, before, after) => {
    await expect(read(before, after, END)).rejects.toMatchObject({
      tag: 'format',
      message: expect.stringMatching(/^the PNG is damaged: the checksum of its \w+ chunk does not match$/),
      advice: 'copy the picture again, or use another copy',
    });
  });

  it('is not asked of pixels, which are not read, nor behind the end', async () => {
    expect(await read(spoiled(chunk('IDAT', [1, 2, 3]), 9), note('{}'), END)).toBe('{}');
    expect(await read(END, spoiled(other, 9))).toBeUndefined();
    await expect(read(spoiled(END, 9))).rejects.toThrow('its IEND chunk');
    await expect(read(spoiled(chunk('t\x01xt', []), 9), END)).rejects.toThrow('its unknown chunk');
  });

  it('is read of a bounded number of bytes', async () => {
    const sizes: number[] = [];
    const length = (1 << 24) - 100;
    const bytes = new Uint8Array(SIGNATURE.length + 5 * (length + 12));
    bytes.set(SIGNATURE);
    const one = new Uint8Array(length + 12);
    one.set(big(length));
    one.set(utf8('tEXt'), 4);
    one.set(big(crc(one.subarray(4, length + 8))), length + 8);
    for (let i = 0; i < 5; i++) bytes.set(one, SIGNATURE.length + i * one.length);
    const source = memorySource('a.png', bytes);
    const counted: typeof source = {
      ...source,
      read(at, size) {
        sizes.push(size);
        return source.read(at, size);
      },
    };
    await expect(readPngNote(counted)).rejects.toThrow(/more text and profiles/);
    expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan((1 << 26) + 1000);
  });
});

const judge = spawnSync('pngcheck', ['-h']).error === undefined;

describe.skipIf(!judge)('pngcheck agrees', () => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-png-'));
  afterAll(() => rmSync(folder, { recursive: true }));

  it.each(['note.png', 'compressed.png'])('on %s, whole and with any changed bit of its note', async (name) => {
    const bytes = fixture(name);
    const start = Buffer.from(bytes).indexOf('linewash\0');
    for (const at of [undefined, start, start + 9, start + 14, start + 20]) {
      const file = at === undefined ? bytes : bytes.with(at, bytes[at]! ^ 2);
      writeFileSync(join(folder, name), file);
      const { status } = spawnSync('pngcheck', ['-q', join(folder, name)]);
      const found = readPngNote(memorySource(name, file)).then(() => 0);
      expect((await found.catch(() => 2)) === 0).toBe(status === 0);
      expect(status === 0).toBe(at === undefined);
    }
  });
});
