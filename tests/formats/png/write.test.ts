import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateSync, inflateSync, crc32 as zlibCrc32 } from 'node:zlib';
import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { crc32 } from '../../../lib/formats/crc32.ts';
import { adler32 } from '../../../lib/formats/deflate/zlib.ts';
import { encodedWriter } from '../../../lib/formats/encoded-writer.ts';
import { iccProfile } from '../../../lib/formats/icc.ts';
import { chunk, zlibStored } from '../../../lib/formats/png/chunk.ts';
import { readPngNote } from '../../../lib/formats/png/note.ts';
import { pngEncoder } from '../../../lib/formats/png/write.ts';
import { type ByteSink, memorySink, memorySource } from '../../../lib/plane/bytes.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { type OutputRows, outputRows, type PictureInfo } from '../../../lib/plane/picture.ts';
import { random } from '../../../samples/scene/random.ts';
import { SEED, someOf } from '../../cases.ts';
import { info, NOTE, testRows } from '../pictures.ts';

const pngWriter = async (sink: ByteSink, picture: PictureInfo) => encodedWriter(sink, picture, pngEncoder(picture));
const runs = (command: string) => spawnSync(command, []).error === undefined;
const folder = mkdtempSync(join(tmpdir(), 'linewash-png-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const write = async (picture: PictureInfo, rows: OutputRows, rowsAtOnce = picture.height): Promise<Uint8Array> => {
  const sink = memorySink();
  const writer = await pngWriter(sink, picture);
  const step = rowsAtOnce * picture.width * picture.bands;
  for (let at = 0; at < rows.length; at += step) await writer.writeRows(rows.subarray(at, at + step));
  await writer.finish();
  return sink.bytes();
};

const FORMS = [
  info(61, 47, 3, 'u8', 'srgb', NOTE),
  info(61, 47, 4, 'u8', 'display-p3', NOTE),
  info(61, 47, 3, 'u16', 'display-p3', NOTE),
  info(61, 47, 4, 'u16', 'srgb-linear'),
  info(1, 1, 3, 'u8', 'srgb', 'x'),
  info(900, 700, 3, 'u16', 'srgb', NOTE),
];

describe.each(someOf(FORMS, 4))('a written PNG: $width × $height × $bands $sample $space', (picture) => {
  const rows = testRows(picture.width, picture.height, picture.bands, picture.sample);

  it('holds the same pixels and profile to sharp', async () => {
    const bytes = await write(picture, rows);
    const { icc, channels, depth } = await sharp(bytes).metadata();
    expect([channels, depth]).toEqual([picture.bands, picture.sample === 'u8' ? 'uchar' : 'ushort']);
    expect(Buffer.from(iccProfile(picture.space)).equals(icc!)).toBe(true);
    const space = picture.sample === 'u8' ? 'srgb' : 'rgb16';
    const found = await sharp(bytes, { ignoreIcc: true })
      .pipelineColourspace(space)
      .toColourspace(space)
      .raw({ depth: picture.sample === 'u8' ? 'uchar' : 'ushort' })
      .toBuffer();
    expect(Buffer.from(rows.buffer, rows.byteOffset, rows.byteLength).equals(found)).toBe(true);
  });

  it('gives its note back', async () => {
    expect(await readPngNote(memorySource('t.png', await write(picture, rows)))).toBe(picture.note || undefined);
  });

  it('has the same bytes however the rows are handed over', async () => {
    const whole = await write(picture, rows);
    for (const rowsAtOnce of [1, 13])
      expect(Buffer.from(await write(picture, rows, rowsAtOnce)).equals(whole)).toBe(true);
  });

  it.skipIf(!runs('pngcheck'))('is valid to pngcheck', async () => {
    const path = join(folder, 'a.png');
    writeFileSync(path, await write(picture, rows));
    const { stdout, status } = spawnSync('pngcheck', ['-q', path], { encoding: 'utf8' });
    expect([status, stdout]).toEqual([0, '']);
  });

  it.skipIf(!runs('exiftool'))('satisfies exiftool, which finds the note', async () => {
    const path = join(folder, 'b.png');
    writeFileSync(path, await write(picture, rows));
    const { stdout } = spawnSync('exiftool', ['-j', '-validate', '-warning', '-error', '-PNG:Linewash', path], {
      encoding: 'utf8',
    });
    const [said] = JSON.parse(stdout);
    expect(said.Validate).toBe('OK');
    if (picture.note !== '' && picture.note.startsWith('{')) expect(said.Linewash).toBe(picture.note);
  });
});

describe('the parts of a PNG', () => {
  it('have the CRC of the standard: 0xCBF43926 for "123456789", and zlib\'s for noise', () => {
    // Check value of CRC-32/ISO-HDLC in Greg Cook's catalogue of parametrised CRC algorithms (from memory).
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
    const noise = new Uint8Array(testRows(99, 9, 3, 'u16').buffer);
    if (typeof zlibCrc32 === 'function') expect(crc32(noise)).toBe(zlibCrc32(noise));
    // The IEND chunk is the same in every PNG file.
    expect([...chunk('IEND')]).toEqual([0, 0, 0, 0, 73, 69, 78, 68, 0xae, 0x42, 0x60, 0x82]);
  });

  it('store bytes as a zlib stream that zlib takes', () => {
    const noise = new Uint8Array(testRows(99, 99, 3, 'u16').buffer);
    for (const bytes of [noise.subarray(0, 65_535), noise.subarray(0, 480), noise.subarray(0, 0)])
      expect(Buffer.from(bytes).equals(inflateSync(zlibStored(bytes)))).toBe(true);
    expect(adler32(new TextEncoder().encode('Wikipedia'))).toBe(0x11e60398);
  });
});

describe('choosing filters', () => {
  it('makes noisy and smooth 16-bit pictures no larger than libpng does', async () => {
    const smooth = Uint16Array.from(
      { length: 300 * 200 * 3 },
      (_, i) => 40 * Math.floor((i % 900) / 3) + 60 * Math.floor(i / 900),
    );
    // Noise that every row repeats.
    const columns = Uint16Array.from({ length: 300 * 200 * 3 }, (_, i) => Math.imul((i % 900) + 1, 40_503) & 0xffff);
    for (const rows of [testRows(300, 200, 3, 'u16'), smooth, columns]) {
      const raw = { width: 300, height: 200, channels: 3 as const };
      const theirs = await sharp(rows, { raw }).toColourspace('rgb16').png({ compressionLevel: 6 }).toBuffer();
      const ours = await write(info(300, 200), rows);
      // One code for a block of 128 kB, over which the first of these changes more than any sky.
      expect(ours.length).toBeLessThan(1.03 * theirs.length);
    }
  });
});

describe('compressing', () => {
  it.each(['u8', 'u16'] as const)(
    'makes noise of %s with two equal channels no larger than zlib at level 6',
    async (sample) => {
      const [width, height] = [600, 400];
      const rng = random(SEED, 17);
      const rows = outputRows(sample, width * height * 3);
      const unit = sample === 'u8' ? 1 : 300;
      for (let i = 0; i < rows.length; i += 3) {
        const sky = 40 + 2 * Math.sin(i / width / 90);
        rows[i] = unit * (sky + 2 * rng.normal());
        rows[i + 1] = rows[i + 2] = unit * (sky + 3 * rng.normal());
      }
      const png = Buffer.from(await write(info(width, height, 3, sample), rows));
      const data: Buffer[] = [];
      for (let at = 8; at < png.length; at += 12 + png.readUInt32BE(at))
        if (png.toString('latin1', at + 4, at + 8) === 'IDAT')
          data.push(png.subarray(at + 8, at + 8 + png.readUInt32BE(at)));
      const ours = Buffer.concat(data);
      expect(ours.length).toBeLessThan(1.003 * deflateSync(inflateSync(ours), { level: 6 }).length);
    },
  );
});

describe('misuse and failure', () => {
  it('floats are refused with advice', async () => {
    const error = await pngWriter(memorySink(), info(4, 2, 3, 'f32')).catch((thrown: unknown) => thrown);
    expect(error).toBeInstanceOf(LinewashError);
    expect(error).toMatchObject({ tag: 'output', advice: expect.stringMatching(/TIFF/) });
  });

  it('wrong rows are a RangeError', async () => {
    const writer = await pngWriter(memorySink(), info(4, 2));
    await expect(writer.writeRows(new Uint8Array(12))).rejects.toThrow(RangeError);
    await expect(writer.writeRows(new Uint16Array(11))).rejects.toThrow(/whole rows/);
    await expect(writer.writeRows(new Uint16Array(36))).rejects.toThrow(/more rows/);
    await expect(writer.finish()).rejects.toThrow(/fewer rows/);
    for (const [width, height] of [
      [-1, 2],
      [0, 2],
      [2, 0],
      [1.5, 2],
      [2, 2 ** 31],
    ] as const)
      await expect(pngWriter(memorySink(), info(width, height))).rejects.toThrow(RangeError);
  });

  it('what the sink throws comes out, and nothing hangs', async () => {
    const full = new LinewashError({ tag: 'output', message: 'the disk is full' });
    let room = 100_000;
    const sink = {
      ...memorySink(),
      writeAt: async (_at: number, bytes: Uint8Array) => {
        room -= bytes.length;
        if (room < 0) throw full;
      },
    };
    const rows = testRows(900, 700, 3, 'u16');
    const all = async () => {
      const writer = await pngWriter(sink, info(900, 700));
      for (let y = 0; y < 700; y++) await writer.writeRows(rows.subarray(2700 * y, 2700 * (y + 1)));
      await writer.finish();
    };
    await expect(all()).rejects.toBe(full);
  });
});

describe('reading a note', () => {
  it('refuses what is no PNG, and any cut before the note', async () => {
    const bytes = await write(info(4, 2, 3, 'u8', 'srgb', NOTE), new Uint8Array(24));
    const noteEnd = Buffer.from(bytes).indexOf('IDAT') - 4;
    for (let length = 0; length < bytes.length; length++) {
      const found = await readPngNote(memorySource('t.png', bytes.slice(0, length))).catch((error: unknown) => error);
      if (length >= noteEnd) expect(found).toBe(NOTE);
      else if (found !== undefined) expect(found, `${length}`).toBeInstanceOf(LinewashError);
    }
  });

  it('passes over texts of others and a note too long to be one', async () => {
    const bytes = await write(info(4, 2, 3, 'u8'), new Uint8Array(24));
    const place = Buffer.from(bytes).indexOf('IDAT') - 4;
    const other = chunk('iTXt', new TextEncoder().encode('Comment\0\0\0\0\0hello'));
    const short = chunk('iTXt', new TextEncoder().encode('line'));
    const spliced = Buffer.concat([bytes.subarray(0, place), other, short, bytes.subarray(place)]);
    expect(await readPngNote(memorySource('t.png', spliced))).toBeUndefined();
    const ours = (length: number) => new TextEncoder().encode('linewash\0\0\0\0\0'.padEnd(length, 'x'));
    const withChunk = (type: string, content: Uint8Array) =>
      Buffer.concat([bytes.subarray(0, place), chunk(type, content), bytes.subarray(place)]);
    expect(await readPngNote(memorySource('t.png', withChunk('iTXt', ours(20))))).toBe('xxxxxxx');
    expect(await readPngNote(memorySource('t.png', withChunk('tEXt', ours(20))))).toBeUndefined();
    expect(await readPngNote(memorySource('t.png', withChunk('iTXt', ours(2 ** 24 + 1))))).toBeUndefined();
  });

  it('knows a PNG by each byte of its signature', async () => {
    const bytes = await write(info(4, 2, 3, 'u8', 'srgb', NOTE), new Uint8Array(24));
    for (let i = 0; i < 8; i++) {
      const broken = bytes.slice();
      broken[i]! ^= 1;
      await expect(readPngNote(memorySource('t.png', broken))).rejects.toThrow('not a PNG file');
    }
  });
});
