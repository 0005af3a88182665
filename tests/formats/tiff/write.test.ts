import { spawnSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fromArrayBuffer } from 'geotiff';
import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { iccProfile } from '../../../lib/formats/icc.ts';
import { readTiffNote } from '../../../lib/formats/tiff/note.ts';
import { openTiff } from '../../../lib/formats/tiff/open.ts';
import { littleEndianBytes, tiffLayout, tiffWriter } from '../../../lib/formats/tiff/write.ts';
import { type ByteSink, type ByteSource, memorySink, memorySource } from '../../../lib/plane/bytes.ts';
import type { OutputRows, PictureInfo } from '../../../lib/plane/picture.ts';
import { someOf } from '../../cases.ts';
import { hasModules, PYTHON } from '../../tools/python.ts';
import { info, NOTE, testRows } from '../pictures.ts';
import { firstDifference, readWhole } from './reading.ts';

const runs = (command: string, ...options: string[]) => spawnSync(command, options).error === undefined;
const hasTifffile = hasModules('tifffile');
const folder = mkdtempSync(join(tmpdir(), 'linewash-write-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const write = async (picture: PictureInfo, rows: OutputRows, ...cuts: number[]): Promise<Uint8Array<ArrayBuffer>> => {
  const sink = memorySink();
  const writer = await tiffWriter(sink, picture);
  let from = 0;
  for (const y of [...cuts, picture.height]) {
    const to = y * picture.width * picture.bands;
    await writer.writeRows(rows.subarray(from, to));
    from = to;
  }
  await writer.finish();
  return sink.bytes();
};

const FORMS = [
  info(61, 47, 3, 'u8', 'srgb', NOTE),
  info(61, 47, 4, 'u8', 'display-p3'),
  info(61, 47, 3, 'u16', 'display-p3', NOTE),
  info(61, 47, 4, 'u16', 'srgb', NOTE),
  info(61, 47, 3, 'f32', 'srgb-linear', NOTE),
  info(61, 47, 4, 'f32', 'srgb-linear'),
  info(1, 1, 3, 'u16', 'srgb', 'x'),
  info(2000, 201, 3, 'u16', 'srgb', 'abc'),
];

describe.each(someOf(FORMS, 4))('a written TIFF: $width × $height × $bands $sample $space', (picture) => {
  const rows = testRows(picture.width, picture.height, picture.bands, picture.sample);

  it('holds the same pixels to geotiff', async () => {
    const image = await (await fromArrayBuffer((await write(picture, rows)).buffer)).getImage();
    const found = (await image.readRasters({ interleave: true })) as unknown as ArrayLike<number>;
    expect(firstDifference(found, rows)).toBe('');
    expect(image.getWidth()).toBe(picture.width);
  });

  it('holds the same pixels and profile to sharp', async () => {
    const bytes = await write(picture, rows);
    const { icc, channels } = await sharp(bytes).metadata();
    expect(channels).toBe(picture.bands);
    expect(Buffer.from(iccProfile(picture.space)).equals(icc!)).toBe(true);
    const depth = ({ u8: 'uchar', u16: 'ushort', f32: 'float' } as const)[picture.sample];
    const space = ({ u8: 'srgb', u16: 'rgb16', f32: 'scrgb' } as const)[picture.sample];
    const { data } = await sharp(bytes, { ignoreIcc: true })
      .pipelineColourspace(space)
      .toColourspace(space)
      .raw({ depth })
      .toBuffer({ resolveWithObject: true });
    const found = littleEndianBytes(rows);
    expect(Buffer.from(found).equals(data)).toBe(true);
  });

  it('comes back through our own reader, plane by plane, with its note', async () => {
    const source = memorySource('t.tif', await write(picture, rows));
    for (let plane = 0; plane < picture.bands; plane++) {
      const found = await readWhole(await openTiff(source, { plane }));
      expect(
        firstDifference(
          found,
          rows.filter((_, i) => i % picture.bands === plane),
        ),
      ).toBe('');
    }
    expect(await readTiffNote(source)).toBe(picture.note === '' ? undefined : picture.note);
  });

  it('has the same bytes however the rows are handed over', async () => {
    const whole = await write(picture, rows);
    const middle = Math.floor(picture.height / 2);
    expect(Buffer.from(await write(picture, rows, middle, middle)).equals(whole)).toBe(true);
  });

  it('has no description without a note', async () => {
    const bare = await write({ ...picture, note: '' }, rows);
    const source = memorySource('bare.tif', bare);
    expect(await readTiffNote(source)).toBeUndefined();
    const tags = (await openTiff(source, { plane: 0 })).facts.cards?.map(({ keyword }) => keyword) ?? [];
    expect(tags).not.toContain('ImageDescription');
  });

  it('has its pixels where the layout says', async () => {
    const { head, pixelOffset, pixelBytes, tail } = tiffLayout(picture);
    const file = Buffer.concat([head, littleEndianBytes(rows), tail]);
    expect(pixelOffset).toBe(head.length);
    expect(pixelBytes).toBe(rows.byteLength);
    expect(file.equals(await write(picture, rows))).toBe(true);
  });

  it.skipIf(!runs('tiffinfo', '-h'))('is read without a word by libtiff', async () => {
    const path = join(folder, 'a.tif');
    writeFileSync(path, await write(picture, rows));
    const { stdout, stderr, status } = spawnSync('tiffinfo', ['-D', path], { encoding: 'utf8' });
    expect([status, stderr]).toEqual([0, '']);
    expect(stdout).toContain(`ICC Profile: <present>, ${iccProfile(picture.space).length} bytes`);
  });

  it.skipIf(!runs('exiftool', '-ver'))('satisfies exiftool', async () => {
    const path = join(folder, 'b.tif');
    writeFileSync(path, await write(picture, rows));
    const { stdout } = spawnSync('exiftool', ['-j', '-validate', '-warning', '-error', '-a', path], {
      encoding: 'utf8',
    });
    expect(JSON.parse(stdout)[0]).toMatchObject({ Validate: 'OK' });
  });

  it.skipIf(!hasTifffile)('holds the same pixels to tifffile', async () => {
    const path = join(folder, 'c.tif');
    writeFileSync(path, await write(picture, rows));
    const script = 'import sys,tifffile;sys.stdout.buffer.write(tifffile.imread(sys.argv[1]).tobytes())';
    const { stdout, stderr } = spawnSync(PYTHON, ['-c', script, path], { maxBuffer: 1 << 26 });
    expect(stderr.toString()).toBe('');
    expect(stdout.equals(littleEndianBytes(rows))).toBe(true);
  });
});

/** A file that has its head and its last row, and zeros between: what a sparse file looks like. */
const sparse = (head: Uint8Array, size: number, last: Uint8Array): ByteSource => ({
  name: 'giant.tif',
  size,
  async read(offset, length) {
    const bytes = new Uint8Array(length);
    for (const [at, part] of [
      [0, head],
      [size - last.length, last],
    ] as const) {
      const from = Math.max(offset, at);
      const to = Math.min(offset + length, at + part.length);
      if (from < to) bytes.set(part.subarray(from - at, to - at), from - offset);
    }
    return bytes;
  },
});

describe('beyond 4 GiB', () => {
  const giant = info(30_000, 24_000, 3, 'u16', 'srgb', NOTE);
  const last = testRows(30_000, 1, 3, 'u16');

  it('is BigTIFF only where it must be', () => {
    const version = (picture: PictureInfo) => tiffLayout(picture).head[2];
    expect(version(giant)).toBe(43);
    // 2³² − 1 bytes is the last that classic offsets reach; 65536 × 16384 float triples are 12 GiB, a row less is less.
    const rowBytes = 32_768 * 3;
    const most = Math.floor((2 ** 32 - 1) / rowBytes);
    for (let height = most - 3; height <= most + 1; height++) {
      const picture = info(32_768, height, 3, 'u8');
      const { head, pixelOffset, pixelBytes } = tiffLayout(picture);
      const total = pixelOffset + pixelBytes;
      expect(head[2]).toBe(total > 2 ** 32 - 1 ? 43 : 42);
    }
    expect([most - 3, most + 1].map((height) => version(info(32_768, height, 3, 'u8')))).toEqual([42, 43]);
  });

  it('writes every row, keeps none, and is read to its last row', async () => {
    const { head, pixelOffset } = tiffLayout(giant);
    let end = 0;
    const sink: ByteSink = {
      async writeAt(offset, bytes) {
        expect(offset).toBe(end);
        end += bytes.length;
      },
      async close() {},
      async abort() {},
    };
    const writer = await tiffWriter(sink, giant);
    const rows = new Uint16Array(30_000 * 3 * 500);
    for (let y = 0; y < giant.height; y += 500) await writer.writeRows(rows);
    await writer.finish();
    expect(end).toBe(pixelOffset + 30_000 * 24_000 * 6);

    const source = sparse(head, end, littleEndianBytes(last));
    const plane = await openTiff(source, { plane: 2 });
    const found = new Float32Array(2 * 30_000);
    await plane.readRows(23_998, 2, found);
    expect(
      firstDifference(
        found.subarray(30_000),
        last.filter((_, i) => i % 3 === 2),
      ),
    ).toBe('');
    expect(await readTiffNote(source)).toBe(NOTE);
  });

  it.skipIf(!hasTifffile || !runs('tiffinfo', '-h'))('is read by libtiff and tifffile from a sparse file', () => {
    const path = join(folder, 'giant.tif');
    const { head, pixelOffset, pixelBytes } = tiffLayout(giant);
    const bytes = littleEndianBytes(last);
    const handle = openSync(path, 'w');
    writeSync(handle, head);
    writeSync(handle, bytes, 0, bytes.length, pixelOffset + pixelBytes - bytes.length);
    closeSync(handle);
    const { stdout, stderr } = spawnSync('tiffinfo', [path], { encoding: 'utf8' });
    expect(stderr).toBe('');
    expect(stdout).toContain('Image Width: 30000 Image Length: 24000');
    const script = 'import sys,tifffile;sys.stdout.buffer.write(tifffile.memmap(sys.argv[1],mode="r")[-1].tobytes())';
    const python = spawnSync(PYTHON, ['-c', script, path]);
    expect(python.stdout.equals(bytes)).toBe(true);
    rmSync(path);
  });
});

describe('misuse of the writer', () => {
  it('is a RangeError', async () => {
    const writer = await tiffWriter(memorySink(), info(4, 2));
    await expect(writer.writeRows(new Uint8Array(12))).rejects.toThrow(RangeError);
    await expect(writer.writeRows(new Uint16Array(11))).rejects.toThrow(/whole rows/);
    await expect(writer.writeRows(new Uint16Array(36))).rejects.toThrow(/more rows/);
    await writer.writeRows(new Uint16Array(12));
    await expect(writer.finish()).rejects.toThrow(/fewer rows/);
    expect(() => tiffLayout(info(0, 2))).toThrow(RangeError);
    expect(() => tiffLayout(info(2, 1.5))).toThrow(RangeError);
    expect(() => tiffLayout(info(2, 2, 3, 'u16', 'srgb', 'ü'))).toThrow(/ASCII/);
    expect(() => tiffLayout(info(2, 2, 3, 'u16', 'srgb', 'a\0'))).toThrow(/ASCII/);
  });

  it('swaps bytes for machines of the other order', () => {
    expect([...littleEndianBytes(Uint16Array.of(0x0102, 0x0304), false)]).toEqual([1, 2, 3, 4]);
    expect([...littleEndianBytes(Uint8Array.of(1, 2), false)]).toEqual([1, 2]);
  });
});
