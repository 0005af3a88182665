import { deflateSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { openTiff, type TiffSelect } from '../../../lib/formats/tiff/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { buildTiff, type FileForm, greyTags, type Page, type Tag, words } from './build.ts';
import { readWhole } from './reading.ts';

const open = (bytes: Uint8Array, select?: TiffSelect) => openTiff(memorySource('t.tif', bytes), select);
const read = async (bytes: Uint8Array, select?: TiffSelect) => readWhole(await open(bytes, select));

/** A 4 × 2 picture of 16 bits with some tags replaced. */
const page = (tags: readonly Tag[] = [], bytes: Uint8Array = words([1, 2, 3, 4, 5, 6, 7, 8])): Page => ({
  tags: greyTags(4, 2, 16, tags),
  chunks: [bytes],
});

const refused = async (bytes: Uint8Array, reason: RegExp, select?: TiffSelect) => {
  const error = await read(bytes, select).catch((thrown: unknown) => thrown);
  expect(error).toBeInstanceOf(LinewashError);
  expect((error as LinewashError).tag).toBe('format');
  expect((error as LinewashError).file).toBe('t.tif');
  expect((error as LinewashError).message).toMatch(reason);
};

describe('the plain picture that the cases below spoil', () => {
  it.each([{}, { bigEndian: true }, { big: true }, { big: true, bigEndian: true }] as FileForm[])(
    'is read: %o',
    async (form) => {
      const bytes = buildTiff([page([], words([1, 2, 3, 4, 5, 6, 7, 8], form.bigEndian))], form);
      expect([...(await read(bytes))]).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    },
  );
});

describe('pictures that are no single plane of light', () => {
  const cases: [string, readonly Tag[], RegExp][] = [
    ['palette', [[262, 3, [3]]], /palette/],
    ['inks', [[262, 3, [5]]], /inks/],
    ['YCbCr', [[262, 3, [6]]], /colour differences/],
    ['Lab', [[262, 3, [8]]], /L\*a\*b\*/],
    ['mosaic', [[262, 3, [32803]]], /mosaic/],
    ['unknown kind', [[262, 3, [777]]], /unknown kind 777/],
    ['12 bits', [[258, 3, [12]]], /12 bits/],
    ['1 bit by default', [[258, 3, []]], /1 bits/],
    [
      'complex',
      [
        [258, 3, [64]],
        [339, 3, [6]],
      ],
      /complex float/,
    ],
    ['unknown format', [[339, 3, [9]]], /\(9\)/],
    [
      '8-bit floats',
      [
        [258, 3, [8]],
        [339, 3, [3]],
      ],
      /8 bits \(float\)/,
    ],
    [
      'bits that differ',
      [
        [277, 3, [2]],
        [258, 3, [16, 8]],
      ],
      /differ in bits \(16, 8\)/,
    ],
    ['no samples', [[277, 3, [0]]], /0 samples/],
    ['too many samples', [[277, 3, [1000]]], /1000 samples/],
    ['reversed bits', [[266, 3, [2]]], /FillOrder 2/],
    ['on its side', [[274, 3, [6]]], /Orientation 6/],
    ['no width', [[256, 4, [0]]], /0 × 2 pixels/],
    ['a width that is no number', [[256, 2, 'wide']], /tag 256 has type 2/],
    ['a fractional height', [[257, 5, [3, 2]]], /4 × 1.5 pixels/],
    ['rows of nothing', [[278, 4, [0]]], /no size/],
    ['predictor without compression', [[317, 3, [2]]], /predictor without/],
    [
      'unknown predictor',
      [
        [317, 3, [7]],
        [259, 3, [8]],
      ],
      /predictor 7/,
    ],
    [
      'colour',
      [
        [262, 3, [2]],
        [277, 3, [3]],
        [258, 3, [16, 16, 16]],
      ],
      /3 planes \(a colour picture\)/,
    ],
    [
      'grey with two more',
      [
        [277, 3, [3]],
        [258, 3, [16, 16, 16]],
      ],
      /3 planes/,
    ],
    ['JPEG', [[259, 3, [7]]], /a JPEG picture: its values are rounded .* no master/],
    ['old-style JPEG', [[259, 3, [6]]], /an old-style JPEG picture: its values are rounded .* no master/],
    ...(
      [
        [2, 'CCITT'],
        [3, 'CCITT'],
        [4, 'CCITT'],
        [34712, 'JPEG 2000'],
        [34887, 'LERC'],
        [34925, 'LZMA'],
        [50001, 'WebP'],
        [52546, 'JPEG XL'],
        [12345, 'number'],
      ] as const
    ).map(([code, name]): [string, readonly Tag[], RegExp] => [
      name,
      [[259, 3, [code]]],
      new RegExp(`${name} ${code}`),
    ]),
  ];
  it.each(cases)('%s', async (_name, tags, reason) => refused(buildTiff([page(tags)]), reason));
});

/** Two planes apart (PlanarConfiguration 2), one strip each; the file holds as many strips as are given. */
const apart = (...strips: Uint8Array[]) =>
  buildTiff([
    {
      tags: greyTags(4, 2, 16, [
        [277, 3, [2]],
        [258, 3, [16, 16]],
        [284, 3, [2]],
        [278, 4, [2]],
      ]),
      chunks: strips,
    },
  ]);

describe('planes apart', () => {
  const [one, two] = [words([1, 2, 3, 4, 5, 6, 7, 8]), words([9, 10, 11, 12, 13, 14, 15, 16])];

  it('are read each from its own strips', async () => {
    expect([...(await read(apart(one, two), { plane: 0 }))]).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    expect([...(await read(apart(one, two), { plane: 1 }))]).toEqual([9, 10, 11, 12, 13, 14, 15, 16]);
  });

  it('are refused where the strips of a later one are not listed', async () => {
    await refused(apart(one), /lists 1 strips or tiles where its size asks for 2/, { plane: 1 });
  });
});

describe('files whose parts do not hold together', () => {
  it.each([
    ['empty', new Uint8Array(0), /empty/],
    ['short', Uint8Array.of(0x49, 0x49, 42), /not a TIFF/],
    ['another format', new TextEncoder().encode('SIMPLE  =                    T'), /not a TIFF/],
    ['a wrong version', Uint8Array.of(0x49, 0x49, 41, 0, 8, 0, 0, 0), /not a TIFF/],
    ['a cut BigTIFF', Uint8Array.of(0x49, 0x49, 43, 0, 8, 0, 0, 0), /not a TIFF/],
    ['odd BigTIFF', Uint8Array.of(0x49, 0x49, 43, 0, 4, 0, 0, 0, 16, 0, 0, 0, 0, 0, 0, 0), /not 8 bytes/],
    ['no directory', Uint8Array.of(0x49, 0x49, 42, 0, 0, 0, 0, 0), /no picture/],
    ['a directory outside', Uint8Array.of(0x49, 0x49, 42, 0, 255, 0, 0, 0), /beyond the end/],
    ['a directory of nothing', Uint8Array.of(0x49, 0x49, 42, 0, 8, 0, 0, 0, 0, 0, 0, 0, 0, 0), /0 fields/],
  ] as [string, Uint8Array, RegExp][])('%s', async (_name, bytes, reason) => refused(bytes, reason));

  const cases: [string, Page, RegExp][] = [
    [
      'no strips',
      {
        tags: greyTags(4, 2, 16, [
          [273, 4, []],
          [279, 4, []],
        ]),
        chunks: [],
      },
      /lists 0 strips/,
    ],
    [
      'no offsets',
      { tags: [...greyTags(4, 2, 16), [322, 3, [16]], [323, 3, [16]]], chunks: [words([1])] },
      /positions of its pixels/,
    ],
    ['a strip outside', page([[273, 4, [0xfffffff0]]]), /lies beyond its end/],
    ['a strip that is missing', page([[273, 4, [0]]]), /strip 0 is missing/],
    [
      'an empty compressed strip',
      page([
        [279, 4, [0]],
        [259, 3, [8]],
      ]),
      /strip 0 is missing/,
    ],
    ['a short strip', page([[279, 4, [15]]]), /too short/],
    [
      'tiles without length',
      { tags: [...greyTags(4, 2, 16), [322, 3, [16]]], chunks: [words([1])], tiled: true },
      /no size/,
    ],
  ];
  it.each(cases)('%s', async (_name, spoiled, reason) => refused(buildTiff([spoiled]), reason));

  it('a damaged or short deflate stream names its strip', async () => {
    const packed = new Uint8Array(deflateSync(words([1, 2, 3, 4, 5, 6, 7, 8])));
    const two = (second: Uint8Array) =>
      buildTiff([
        {
          tags: greyTags(4, 4, 16, [
            [259, 3, [8]],
            [278, 3, [2]],
          ]),
          chunks: [packed, second],
        },
      ]);
    expect([...(await read(two(packed)))].slice(8)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    await refused(two(packed.map((byte, i) => (i === 0 ? 0 : byte))), /strip 1 holds a damaged deflate stream/);
    await refused(two(new Uint8Array(deflateSync(words([1, 2])))), /strip 1 ends early/);
    await refused(two(packed.slice(0, 6)), /strip 1/);
  });

  it('a picture remains readable after a failed read', async () => {
    const good = new Uint8Array(deflateSync(words([1, 2, 3, 4])));
    const tags = greyTags(4, 2, 16, [
      [259, 3, [8]],
      [278, 3, [1]],
    ]);
    const plane = await open(buildTiff([{ tags, chunks: [good, good.map((byte) => byte ^ 0x55)] }]));
    const into = new Float32Array(8);
    await expect(plane.readRows(0, 2, into)).rejects.toBeInstanceOf(LinewashError);
    await plane.readRows(0, 1, into);
    expect([...into.slice(0, 4)]).toEqual([1, 2, 3, 4]);
  });
});

describe('files that ask for more than they hold', () => {
  const cases: [string, readonly Tag[], RegExp][] = [
    [
      'a stored giant',
      [
        [256, 4, [60000]],
        [257, 4, [60000]],
        [278, 4, [60000]],
      ],
      /too short/,
    ],
    [
      'a deflated giant',
      [
        [256, 4, [60000]],
        [257, 4, [60000]],
        [278, 4, [60000]],
        [259, 3, [8]],
      ],
      /too short/,
    ],
    [
      'an LZW giant',
      [
        [256, 4, [60000]],
        [257, 4, [60000]],
        [278, 4, [60000]],
        [259, 3, [5]],
      ],
      /too short/,
    ],
    [
      'a Zstandard giant',
      [
        [256, 4, [60000]],
        [257, 4, [60000]],
        [278, 4, [60000]],
        [259, 3, [50000]],
      ],
      /too short/,
    ],
    [
      'one endless row',
      [
        [256, 4, [0x7fffffff]],
        [259, 3, [8]],
      ],
      /too large/,
    ],
    ['beyond all sizes', [[256, 4, [0xffffffff]]], /4294967295 × 2/],
    [
      'endless strips',
      [
        [257, 4, [0x7fffffff]],
        [278, 4, [1]],
      ],
      /cut into 2147483647/,
    ],
    [
      'giant tiles',
      [
        [322, 4, [65536]],
        [323, 4, [65536]],
      ],
      /too large/,
    ],
  ];
  it.each(cases)('%s', async (_name, tags, reason) => refused(buildTiff([page(tags)]), reason));

  it('a table longer than the file', async () => {
    const bytes = buildTiff([
      page([
        [278, 4, [1]],
        [273, 4, [8, 16]],
        [279, 4, [8, 8]],
      ]),
    ]);
    const view = new DataView(bytes.buffer);
    for (let at = 0; at < bytes.length - 12; at++)
      if (view.getUint16(at, true) === 273 && view.getUint16(at + 2, true) === 4)
        view.setUint32(at + 8, 0xfffffff0, true);
    await refused(bytes, /tag 273 lies beyond the end/);
  });

  it('too many directories', async () => {
    const bytes = new Uint8Array(8 + 18 * 5000);
    const view = new DataView(bytes.buffer);
    bytes.set([0x49, 0x49, 42, 0, 8]);
    for (let i = 0; i < 5000; i++) {
      view.setUint16(8 + 18 * i, 1, true);
      view.setUint32(8 + 18 * i + 14, 8 + 18 * (i + 1), true);
    }
    await refused(bytes, /more directories/);
  });
});

describe('a choice that the file does not have', () => {
  const two = buildTiff([page(), page()]);
  it.each([
    [{ page: 2 }, /no page 2/],
    [{ page: -1 }, /no page -1/],
    [{ page: 0.5 }, /no page 0.5/],
    [{ plane: 1 }, /no plane #2/],
    [{ plane: -1 }, /no plane #0/],
  ] as const)('%o', async (select, reason) => refused(two, reason, select));

  it('tells what there is', async () => {
    await expect(open(two, { page: 2 })).rejects.toMatchObject({ advice: 'pages are [0] to [1]' });
    await expect(open(buildTiff([page()]), { page: 2 })).rejects.toMatchObject({ advice: 'it has one page, [0]' });
    await expect(open(two, { plane: 4 })).rejects.toMatchObject({ advice: 'it has one, #1' });
  });
});
