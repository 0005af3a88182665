import { deflateSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { openTiff } from '../../../lib/formats/tiff/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { buildTiff, greyTags, type Page, ramp, words } from './build.ts';
import { readInWindows, readWhole } from './reading.ts';

// Faults that were measured in a widely used TIFF library: wrong pixels, zeros, or a process that never ends.

const open = (bytes: Uint8Array) => openTiff(memorySource('t.tif', bytes));
const values = async (bytes: Uint8Array) => [...(await readWhole(await open(bytes)))];
const grey16 = (width: number, height: number, chunks: Uint8Array[], more: Page['tags'] = []): Page => ({
  tags: greyTags(width, height, 16, more),
  chunks,
});

/** Rows of 16-bit samples, each but the first less the one before it. */
const differences = (samples: readonly number[], width: number) =>
  samples.map((value, i) => (i % width === 0 ? value : (value - samples[i - 1]! + 65536) % 65536));

describe('faults seen elsewhere', () => {
  const samples = ramp(13 * 12);

  it.each([false, true])('many strips, big-endian %s', async (bigEndian) => {
    const strips = Array.from({ length: 12 }, (_, y) => words(samples.slice(13 * y, 13 * y + 13), bigEndian));
    for (const compression of [1, 8]) {
      const chunks = compression === 1 ? strips : strips.map((strip) => new Uint8Array(deflateSync(strip)));
      const page = grey16(13, 12, chunks, [
        [278, 3, [1]],
        [259, 3, [compression]],
      ]);
      const plane = await open(buildTiff([page], { bigEndian }));
      expect([...(await readWhole(plane))]).toEqual(samples);
      expect([...(await readInWindows(plane))]).toEqual(samples);
    }
  });

  it.each([false, true])('predictor 2 over 16 bits, big-endian %s', async (bigEndian) => {
    const strip = new Uint8Array(deflateSync(words(differences(samples, 13), bigEndian)));
    const page = grey16(
      13,
      12,
      [strip],
      [
        [259, 3, [8]],
        [317, 3, [2]],
      ],
    );
    expect(await values(buildTiff([page], { bigEndian }))).toEqual(samples);
  });

  it('LZW of before 1992 is refused by name', async () => {
    // Clear, then literals, packed from the low end: 00 01 …
    const page = grey16(2, 1, [Uint8Array.of(0x00, 0x01, 0x04, 0x08, 0x10, 0x20)], [[259, 3, [5]]]);
    const plane = await open(buildTiff([page]));
    await expect(readWhole(plane)).rejects.toThrow(/LZW of before 1992/);
  });

  it('a file cut at any length is refused, never read as zeros', async () => {
    const whole = buildTiff([grey16(13, 12, [words(samples)])]);
    // The pixels first, the directory last: every cut takes something.
    for (let length = 0; length < whole.length; length++)
      await expect(values(whole.slice(0, length)), `${length} bytes`).rejects.toBeInstanceOf(LinewashError);
    // The directory first, the pixels last, as most writers do: strip moved behind its directory.
    const moved = buildTiff([
      {
        tags: greyTags(13, 12, 16, [
          [273, 4, [whole.length]],
          [279, 4, [312]],
        ]),
        chunks: [],
      },
    ]);
    const file = new Uint8Array(whole.length + 312);
    file.set(moved);
    file.set(words(samples), whole.length);
    expect(await values(file)).toEqual(samples);
    for (let length = 0; length < file.length; length++)
      await expect(values(file.slice(0, length)), `${length} bytes`).rejects.toBeInstanceOf(LinewashError);
  });

  it.each([0, 1, 2])('a chain of directories that comes back to number %i ends', async (loopTo) => {
    const page = grey16(2, 2, [words([1, 2, 3, 4])]);
    await expect(values(buildTiff([page, page, page], { loopTo }))).rejects.toThrow(/comes back on itself/);
  });

  it('absent byte counts follow from the size of stored strips, and only of those', async () => {
    const strips = [words(samples.slice(0, 65)), words(samples.slice(65, 130)), words(samples.slice(130))];
    for (const [rows, chunks] of [
      [12, [words(samples)]],
      [5, strips],
    ] as const) {
      const bytes = buildTiff([{ ...grey16(13, 12, [...chunks], [[278, 3, [rows]]]), noCounts: true }]);
      expect(await values(bytes)).toEqual(samples);
      expect((await open(bytes)).warnings.join()).toMatch(/follow from its size/);
    }
    const packed = {
      ...grey16(13, 12, [new Uint8Array(deflateSync(words(samples)))], [[259, 3, [8]]]),
      noCounts: true,
    };
    await expect(values(buildTiff([packed]))).rejects.toThrow(/does not give the lengths/);
  });

  it('zero-is-white is inverted, in `raw` too, and refused where it has no meaning', async () => {
    const plane = await open(buildTiff([grey16(2, 2, [words([0, 1, 65534, 65535])], [[262, 3, [0]]])]));
    expect([...(await readWhole(plane))]).toEqual([65535, 65534, 1, 0]);
    expect(plane.raw).toMatchObject({ zero: 65535, scale: -1 });
    const eight = { tags: greyTags(4, 1, 8, [[262, 3, [0]]]), chunks: [Uint8Array.of(0, 1, 254, 255)] };
    expect(await values(buildTiff([eight]))).toEqual([255, 254, 1, 0]);
    const signed = grey16(
      2,
      2,
      [words([0, 1, 2, 3])],
      [
        [262, 3, [0]],
        [339, 3, [2]],
      ],
    );
    await expect(values(buildTiff([signed]))).rejects.toThrow(/zero is white/);
  });

  it('the float predictor over integers is refused', async () => {
    const strip = new Uint8Array(deflateSync(words(samples)));
    await expect(
      values(
        buildTiff([
          grey16(
            13,
            12,
            [strip],
            [
              [259, 3, [8]],
              [317, 3, [3]],
            ],
          ),
        ]),
      ),
    ).rejects.toThrow(/predictor for floats/);
  });

  it('a thumbnail or mask in front is not the picture', async () => {
    const picture = grey16(13, 12, [words(samples)], [[254, 4, [0]]]);
    for (const mark of [
      [254, 4, [1]],
      [254, 4, [4]],
      [255, 3, [2]],
    ] as const) {
      const plane = await open(buildTiff([grey16(1, 1, [words([9])], [mark]), picture]));
      expect([...(await readWhole(plane))]).toEqual(samples);
      expect(plane.warnings).toEqual(['page [1] was taken; the pages before it are thumbnails or masks']);
    }
    const only = await open(buildTiff([grey16(13, 12, [words(samples)], [[254, 4, [1]]])]));
    expect([...(await readWhole(only))]).toEqual(samples);
    expect(only.warnings.join()).toMatch(/every page is marked/);
  });
});

/** Predictor 3 over rows of big-endian samples, by its definition; `reversed` lays the planes the other way round. */
const floatPlanes = (big: Uint8Array, size: number, width: number, reversed: boolean): Uint8Array => {
  const out = new Uint8Array(big.length);
  const rowBytes = width * size;
  for (let start = 0; start < big.length; start += rowBytes) {
    const planes = Array.from({ length: rowBytes }, (_, i) => {
      const plane = Math.floor(i / width);
      return big[start + (i % width) * size + (reversed ? size - 1 - plane : plane)]!;
    });
    for (let i = 0; i < rowBytes; i++) out[start + i] = planes[i]! - (i === 0 ? 0 : planes[i - 1]!);
  }
  return new Uint8Array(deflateSync(out));
};

const floatPage = (width: number, height: number, bits: number, chunk: Uint8Array): Page => ({
  tags: greyTags(width, height, bits, [
    [259, 3, [8]],
    [317, 3, [3]],
    [339, 3, [3]],
  ]),
  chunks: [chunk],
});

describe('big-endian float planes, written in two ways', () => {
  const noisy = Array.from({ length: 400 }, (_, i) =>
    Math.fround(0.01 + 0.3 * Math.sin(i) ** 2 + ((i * 7919) % 1009) / 3e4),
  );
  const whole = Array.from({ length: 400 }, (_, i) => 1000 + ((i * 7919) % 60000));
  const bytesOf = (numbers: readonly number[], size: 4 | 8) => {
    const view = new DataView(new ArrayBuffer(size * numbers.length));
    numbers.forEach((value, i) => {
      if (size === 4) view.setFloat32(4 * i, value);
      else view.setFloat64(8 * i, value);
    });
    return new Uint8Array(view.buffer);
  };

  it.each([4, 8] as const)('both are read where %i-byte numbers tell them apart', async (size) => {
    for (const numbers of [noisy, whole])
      for (const reversed of [false, true]) {
        const page = floatPage(20, 20, 8 * size, floatPlanes(bytesOf(numbers, size), size, 20, reversed));
        expect(await values(buildTiff([page], { bigEndian: true }))).toEqual(numbers);
      }
  });

  it('zeros are zeros either way; too few numbers, or half floats, are refused', async () => {
    const zeros = floatPage(20, 20, 32, floatPlanes(new Uint8Array(1600), 4, 20, false));
    expect(await values(buildTiff([zeros], { bigEndian: true }))).toEqual(new Array(400).fill(0));
    const few = floatPage(3, 3, 32, floatPlanes(bytesOf(noisy.slice(0, 9), 4), 4, 3, false));
    await expect(values(buildTiff([few], { bigEndian: true }))).rejects.toThrow(/written in two ways/);
    const half = floatPage(20, 20, 16, floatPlanes(words(whole), 2, 20, false));
    await expect(values(buildTiff([half], { bigEndian: true }))).rejects.toThrow(/written in two ways/);
  });
});
