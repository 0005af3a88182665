import { describe, expect, it } from 'vitest';
import { openTiff } from '../../../lib/formats/tiff/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { buildTiff, greyTags, type Page, ramp, type Tag, words } from './build.ts';
import { readInWindows, readWhole } from './reading.ts';

const open = (page: Page) => openTiff(memorySource('t.tif', buildTiff([page])));

/** Four strips of one row of three 16-bit pixels. */
const strips = (
  more: readonly Tag[],
  chunks = [0, 1, 2, 3].map((y) => words(ramp(12).slice(3 * y, 3 * y + 3))),
): Page => ({
  tags: greyTags(3, 4, 16, [[278, 4, [1]], ...more]),
  chunks,
});

describe('lengths of strips that are given as 0', () => {
  it('follow from the size of an uncompressed picture', async () => {
    const plane = await open({ tags: [...greyTags(3, 4, 16), [279, 4, [0]]], chunks: [words(ramp(12))] });
    expect([...(await readWhole(plane))]).toEqual(ramp(12));
    expect(plane.raw?.rowBytes).toBe(6);
    expect(plane.warnings).toEqual(['the lengths of its strips are given as 0; they follow from its size']);
  });

  it('are found strip by strip, the last shorter', async () => {
    const tags = greyTags(3, 4, 16, [
      [278, 4, [3]],
      [279, 4, [18, 0]],
    ]);
    const plane = await open({ tags, chunks: [words(ramp(9)), words(ramp(12).slice(9))] });
    expect([...(await readInWindows(plane))]).toEqual(ramp(12));
  });

  it.each<[string, readonly Tag[], RegExp]>([
    [
      'compressed',
      [
        [259, 3, [8]],
        [279, 4, [0]],
      ],
      /strip 0 is missing/,
    ],
    [
      'without a place',
      [
        [273, 4, [0]],
        [279, 4, [5]],
      ],
      /strip 0 is missing/,
    ],
    [
      'beyond the end',
      [
        [273, 4, [0x7fffffff]],
        [279, 4, [0]],
      ],
      /beyond its end/,
    ],
  ])('are refused where they cannot: %s', async (_name, more, message) => {
    await expect(open({ tags: [...greyTags(3, 4, 16, more)], chunks: [words(ramp(12))] })).rejects.toThrow(message);
  });

  it('are refused in tiles', async () => {
    const tags: Tag[] = [...greyTags(16, 16, 16), [322, 3, [16]], [323, 3, [16]], [325, 4, [0]]];
    await expect(open({ tags, chunks: [words(ramp(256))], tiled: true })).rejects.toThrow(/tile 0 is missing/);
  });
});

describe('strips that are not stored', () => {
  const sparse = (more: readonly Tag[] = []) => {
    const page = strips(more);
    const bytes = buildTiff([
      { ...page, chunks: [page.chunks[0]!, page.chunks[1]!, page.chunks[2]!, page.chunks[3]!] },
    ]);
    const view = new DataView(bytes.buffer);
    // Offsets and counts of strips 1 and 3 become 0.
    for (const tag of [273, 279]) {
      const directory = view.getUint32(4, true);
      for (let i = 0; i < view.getUint16(directory, true); i++) {
        const at = directory + 2 + 12 * i;
        if (view.getUint16(at, true) !== tag) continue;
        for (const strip of [1, 3]) view.setUint32(view.getUint32(at + 8, true) + 4 * strip, 0, true);
      }
    }
    return openTiff(memorySource('t.tif', bytes));
  };

  it('are zeros, and said', async () => {
    const plane = await sparse();
    expect([...(await readInWindows(plane))]).toEqual(ramp(12).map((v, i) => (Math.floor(i / 3) % 2 ? 0 : v)));
    expect(plane.raw).toBeUndefined();
    expect(plane.warnings).toEqual(['2 of 4 strips are not stored: their pixels are 0']);
  });

  it('are undefined where a value stands for no data', async () => {
    const plane = await sparse([[42113, 2, '7']]);
    const found = [...(await readWhole(plane))].map((v, i) => Number.isNaN(v) === (Math.floor(i / 3) % 2 === 1));
    expect(found).not.toContain(false);
    expect(plane.warnings.at(-1)).toBe('2 of 4 strips are not stored: their pixels are undefined');
  });

  it('are zeros where the value cannot occur, and white where zero is white', async () => {
    const plane = await sparse([[42113, 2, '-1']]);
    expect((await readWhole(plane))[3]).toBe(0);
    expect(plane.warnings[0]).toBe('its no-data value -1 cannot occur in u16 samples and is ignored');
    expect((await readWhole(await sparse([[262, 3, [0]]])))[3]).toBe(65535);
  });

  it('may not be nearly all of a picture: a small file cannot stand for an endless one', async () => {
    const page = {
      tags: [...greyTags(3_000_000, 2_000_000_000, 16), [273, 4, [0]], [279, 4, [0]]] as Tag[],
      chunks: [],
    };
    await expect(open(page)).rejects.toThrow(/leaves out almost all of its pixels/);
  });
});

describe('a no-data value', () => {
  const marked = (bits: number, format: number, text: string) => {
    const chunk = new Uint8Array((bits / 8) * 4);
    return open({
      tags: greyTags(2, 2, bits, [
        [339, 3, [format]],
        [42113, 2, text],
      ]),
      chunks: [chunk],
    });
  };

  it.each([
    [16, 1, '65536'],
    [16, 1, '-9999'],
    [16, 2, '40000'],
    [8, 1, '0.5'],
    [32, 3, '1e39'],
    [64, 1, '-1'],
  ])('that samples of %s bits of format %s cannot have is ignored: %s', async (bits, format, text) => {
    const plane = await marked(bits, format, text);
    expect(plane.warnings.at(-1)).toMatch(
      new RegExp(`^its no-data value ${text} cannot occur in \\w+ samples and is ignored$`),
    );
    expect([...(await readWhole(plane))]).toEqual([0, 0, 0, 0]);
  });

  it.each([
    [16, 1, '0'],
    [64, 1, '0'],
    [64, 2, '0'],
    [32, 3, '0'],
  ])('that samples of %s bits of format %s can have is honoured: %s', async (bits, format, text) => {
    expect([...(await readWhole(await marked(bits, format, text)))]).toEqual(new Array(4).fill(Number.NaN));
  });

  it('may be infinite in floats', async () => {
    expect((await marked(32, 3, 'Infinity')).warnings).toEqual(['pixels of its no-data value Infinity are undefined']);
  });
});

describe('integers of 64 bits', () => {
  it('are read as float64, unsigned and signed, and said', async () => {
    const chunk = new Uint8Array(new BigUint64Array([0n, 5n, 2n ** 53n, 2n ** 64n - 1n]).buffer);
    const read = (format: number) => open({ tags: greyTags(2, 2, 64, [[339, 3, [format]]]), chunks: [chunk] });
    const unsigned = await read(1);
    expect([unsigned.type, unsigned.fullScale, unsigned.raw]).toEqual(['f64', 2 ** 64, undefined]);
    expect([...(await readWhole(unsigned))]).toEqual([0, 5, 2 ** 53, 2 ** 64]);
    expect(unsigned.warnings).toEqual(['64-bit integers are read as float64: values beyond 2^53 are rounded']);
    const signed = await read(2);
    expect([signed.type, [...(await readWhole(signed))]]).toEqual(['i64', [0, 5, 2 ** 53, -1]]);
  });
});
