import { describe, expect, it } from 'vitest';
import { openFits } from '../../../lib/formats/fits/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { card, data, extension, failure, header, image, join } from './build.ts';
import { readAll } from './expected.ts';
import { smallFile, smallManifest } from './small.ts';

const fileOf = (values: string) => smallFile(smallManifest.find((row) => row.values === `${values}.f64`)!.file);

/** Replaces the card of a keyword wherever it stands; undefined takes it out. */
const edit = (bytes: Uint8Array, keyword: string, value: string | number | undefined): Uint8Array => {
  const changed = bytes.slice();
  const line = value === undefined ? `COMMENT ${keyword}` : card(keyword, value);
  let found = false;
  for (let at = 0; at + 80 <= changed.length; at += 80)
    if (Buffer.from(changed.subarray(at, at + 8)).toString('latin1') === keyword.padEnd(8)) {
      changed.set(Buffer.from(line.padEnd(80)), at);
      found = true;
    }
  if (!found) throw new Error(`no card ${keyword}`);
  return changed;
};

const readFile = async (bytes: Uint8Array) => readAll(await openFits(memorySource('t.fits', bytes)));
const refused = async (bytes: Uint8Array) => (await failure(readFile(bytes))).message;

describe('tile-compressed images that are refused by name', () => {
  const rice = fileOf('rice-i16-tile');
  const float = fileOf('rice-f32-dither1');
  const tall = (side: number) =>
    ['ZNAXIS1', 'ZNAXIS2', 'ZTILE1', 'ZTILE2'].reduce((bytes, keyword) => edit(bytes, keyword, side), rice);
  it.each([
    ['HCOMPRESS_1', edit(rice, 'ZCMPTYPE', "'HCOMPRESS_1'"), 'tile compression HCOMPRESS_1 is not read'],
    ['PLIO_1', edit(rice, 'ZCMPTYPE', "'PLIO_1'"), 'tile compression PLIO_1 is not read'],
    ['no codec', edit(rice, 'ZCMPTYPE', undefined), 'without ZCMPTYPE'],
    ['64-bit integers', edit(rice, 'ZBITPIX', 64), 'compressed 64-bit integers'],
    ['BYTEPIX 3', edit(rice, 'ZVAL2', 3), 'BYTEPIX 3'],
    ['BLOCKSIZE 0', edit(rice, 'ZVAL1', 0), 'BLOCKSIZE 0'],
    ['tiles without pixels', edit(rice, 'ZTILE1', 0), 'a tile has no pixels'],
    ['fewer tiles than needed', edit(rice, 'ZNAXIS2', 1000), 'tiles where'],
    ['tiles too large', tall(900_000), 'tiles of 900000 × 900000 pixels are too large'],
    ['an unknown dither', edit(float, 'ZQUANTIZ', "'OTHER'"), 'ZQUANTIZ OTHER'],
    ['a dither without seed', edit(float, 'ZDITHER0', undefined), 'ZDITHER0'],
    ['a dither with seed 0', edit(float, 'ZDITHER0', 0), 'ZDITHER0'],
    ['a column of unknown type', edit(rice, 'TFORM1', "'1Y'"), 'TFORM1 "1Y" is no column type'],
    ['a column without a type', edit(rice, 'TFORM1', undefined), 'TFORM1 "" is no column type'],
    ['columns without names', edit(rice, 'TTYPE1', undefined), 'it holds no data'],
    ['bits that do not fit', edit(rice, 'TFORM1', "'99X'"), 'columns take 13 bytes, a row has 8'],
    ['columns longer than rows', edit(rice, 'TFORM1', "'9PB'"), 'columns take 72 bytes, a row has 8'],
  ])('%s', async (_, bytes, message) => {
    expect(await refused(bytes)).toContain(message);
  });
});

/** A tile table built by hand: one descriptor column and any others as raw bytes per row. */
const table = (cards: string[], rows: number[][], heap: number[]) =>
  join(
    image(8, []),
    extension('BINTABLE', 8, [rows[0]!.length, rows.length], ...cards),
    data([...rows.flat(), ...heap]),
  );

const tileCards = (codec: string, bitpix: number, axes: number[], heap: number, ...more: string[]) => [
  card('ZIMAGE', 'T'),
  card('ZCMPTYPE', `'${codec}'`),
  card('ZBITPIX', bitpix),
  card('ZNAXIS', axes.length),
  ...axes.map((length, i) => card(`ZNAXIS${i + 1}`, length)),
  ...more,
  card('EXTNAME', `'heap ${heap}'`),
];

/** `extension` writes PCOUNT = 0; a heap needs it. */
const withHeap = (bytes: Uint8Array, heap: number) => edit(bytes, 'PCOUNT', heap);
const column = (name: string, form: string) => [
  card('TFIELDS', 1),
  card('TTYPE1', `'${name}'`),
  card('TFORM1', `'${form}'`),
];

describe('tile tables built by hand', () => {
  it('reads tiles that were left uncompressed', async () => {
    const cards = [...tileCards('RICE_1', 16, [2, 2], 8), ...column('UNCOMPRESSED_DATA', '1PI')];
    const bytes = withHeap(
      table(
        cards,
        [
          [0, 0, 0, 2, 0, 0, 0, 0],
          [0, 0, 0, 2, 0, 0, 0, 4],
        ],
        [0, 1, 0, 2, 255, 255, 0, 4],
      ),
      8,
    );
    expect([...(await readFile(bytes))]).toEqual([-1, 4, 1, 2]);
  });

  it('reads floats in such tiles', async () => {
    const cards = [...tileCards('GZIP_1', -32, [1, 1], 4), ...column('UNCOMPRESSED_DATA', '1PE')];
    const bytes = withHeap(table(cards, [[0, 0, 0, 1, 0, 0, 0, 0]], [0x3f, 0x80, 0, 0]), 4);
    expect([...(await readFile(bytes))]).toEqual([1]);
  });

  it('reads a scale from keywords, and BZERO on top', async () => {
    const more = [card('ZSCALE', 0.5), card('ZZERO', 10), card('BZERO', 100)];
    const cards = [...tileCards('NOCOMPRESS', -64, [2, 1], 8, ...more), ...column('COMPRESSED_DATA', '1PB')];
    const bytes = withHeap(table(cards, [[0, 0, 0, 8, 0, 0, 0, 0]], [0, 0, 0, 4, 255, 255, 255, 254]), 8);
    expect([...(await readFile(bytes))]).toEqual([112, 109]);
  });

  it('reads scale, zero and blank from columns of any number type', async () => {
    const columns = [
      ['ZSCALE', '1E'],
      ['ZZERO', '1I'],
      ['ZBLANK', '1J'],
      ['COMPRESSED_DATA', '1PB'],
    ] as const;
    const forms = columns.flatMap(([name, form], i) => [
      card(`TTYPE${i + 1}`, `'${name}'`),
      card(`TFORM${i + 1}`, `'${form}'`),
    ]);
    const cards = [...tileCards('NOCOMPRESS', -32, [2, 1], 8), card('TFIELDS', 4), ...forms];
    const row = [0x3f, 0, 0, 0, 0, 10, 255, 255, 255, 254, 0, 0, 0, 8, 0, 0, 0, 0];
    const heap = [0, 0, 0, 4, 255, 255, 255, 254];
    expect(await readFile(withHeap(table(cards, [row], heap), 8))).toEqual(Float64Array.of(12, Number.NaN));
    const bytes = withHeap(
      table(
        cards.map((line) => line.replace("'1J'", "'4B'").replace("'1I'", "'2B'")),
        [row],
        heap,
      ),
      8,
    );
    expect([...(await readFile(bytes))]).toEqual([2, -1]);
    const text = withHeap(
      table(
        cards.map((line) => line.replace("'1E'", "'4A'")),
        [row],
        heap,
      ),
      8,
    );
    expect(await refused(text)).toContain('no ZSCALE');
  });

  it('reads tiles stored top first', async () => {
    const cards = [
      ...tileCards('NOCOMPRESS', 8, [1, 2], 2, card('ROWORDER', "'TOP-DOWN'")),
      ...column('COMPRESSED_DATA', '1PB'),
    ];
    const bytes = withHeap(
      table(
        cards,
        [
          [0, 0, 0, 1, 0, 0, 0, 0],
          [0, 0, 0, 1, 0, 0, 0, 1],
        ],
        [5, 6],
      ),
      2,
    );
    expect([...(await readFile(bytes))]).toEqual([5, 6]);
  });

  it('takes arrays of unnamed elements for bytes', async () => {
    const rice = fileOf('rice-i16-tile');
    expect(await readFile(edit(rice, 'TFORM1', "'P'"))).toEqual(await readFile(rice));
  });

  it('takes ZBLANK for integers', async () => {
    const cards = [...tileCards('NOCOMPRESS', 8, [2, 1], 2, card('ZBLANK', 7)), ...column('COMPRESSED_DATA', '1PB')];
    const bytes = withHeap(table(cards, [[0, 0, 0, 2, 0, 0, 0, 0]], [7, 8]), 2);
    expect(await readFile(bytes)).toEqual(Float64Array.of(Number.NaN, 8));
  });

  it('reads a plane of a compressed cube', async () => {
    const cards = [...tileCards('NOCOMPRESS', 8, [2, 1, 2], 4), ...column('COMPRESSED_DATA', '1PB')];
    const bytes = withHeap(
      table(
        cards,
        [
          [0, 0, 0, 2, 0, 0, 0, 0],
          [0, 0, 0, 2, 0, 0, 0, 2],
        ],
        [1, 2, 3, 4],
      ),
      4,
    );
    const plane = await openFits(memorySource('t.fits', bytes), { plane: 1 });
    expect([...(await readAll(plane))]).toEqual([3, 4]);
    const deep = [...tileCards('NOCOMPRESS', 8, [2, 1, 2], 4, card('ZTILE3', 2)), ...column('COMPRESSED_DATA', '1PB')];
    const error = await failure(
      openFits(memorySource('t.fits', withHeap(table(deep, [[0, 0, 0, 4, 0, 0, 0, 0]], [1, 2, 3, 4]), 4)), {
        plane: 1,
      }),
    );
    expect(error.message).toContain('over several planes');
  });

  const one = (
    descriptor: number[],
    heap: number[],
    codec = 'RICE_1',
    bitpix = 16,
    name = 'COMPRESSED_DATA',
    more: string[] = [],
  ) =>
    withHeap(
      table([...tileCards(codec, bitpix, [2, 1], heap.length, ...more), ...column(name, '1PB')], [descriptor], heap),
      heap.length,
    );

  it.each([
    ['no data', one([0, 0, 0, 0, 0, 0, 0, 0], []), 'tile 1 is damaged: it holds no data'],
    ['a place before the heap', one([0, 0, 0, 1, 255, 255, 255, 255], [1]), 'outside its heap'],
    ['a negative length', one([255, 255, 255, 255, 0, 0, 0, 0], [1]), 'outside its heap'],
    ['more than the heap holds', one([0, 0, 0, 2, 0, 0, 0, 0], [1]), 'outside its heap'],
    ['a place behind the heap', one([0, 0, 0, 1, 0, 0, 0, 1], [1]), 'outside its heap'],
    ['half a pixel', one([0, 0, 0, 3, 0, 0, 0, 0], [1, 2, 3], 'NOCOMPRESS'), 'its size is wrong'],
    [
      'half a plain pixel',
      one([0, 0, 0, 3, 0, 0, 0, 0], [1, 2, 3], 'RICE_1', 16, 'UNCOMPRESSED_DATA'),
      'its size is wrong',
    ],
    ['no gzip data', one([0, 0, 0, 3, 0, 0, 0, 0], [1, 2, 3], 'GZIP_2'), 'it is no gzip data'],
    [
      'no gzip data beside',
      one([0, 0, 0, 3, 0, 0, 0, 0], [1, 2, 3], 'RICE_1', 16, 'GZIP_COMPRESSED_DATA'),
      'it is no gzip data',
    ],
    ['integers without a scale', one([0, 0, 0, 5, 0, 0, 0, 0], [0, 0, 0, 1, 0], 'RICE_1', -32), 'no ZSCALE'],
    ['no such column', one([0, 0, 0, 1, 0, 0, 0, 0], [1], 'RICE_1', 16, 'OTHER'), 'it holds no data'],
    [
      'a heap outside',
      one([0, 0, 0, 1, 0, 0, 0, 0], [1], 'RICE_1', 16, 'COMPRESSED_DATA', [card('THEAP', 7)]),
      'THEAP lies outside',
    ],
  ])('refuses %s', async (_, bytes, message) => {
    expect(await refused(bytes)).toContain(message);
  });

  it('goes on after a damaged tile', async () => {
    const cards = [...tileCards('NOCOMPRESS', 8, [1, 2], 1), ...column('COMPRESSED_DATA', '1PB')];
    const bytes = withHeap(
      table(
        cards,
        [
          [0, 0, 0, 1, 0, 0, 0, 0],
          [0, 0, 0, 0, 0, 0, 0, 0],
        ],
        [9],
      ),
      1,
    );
    const plane = await openFits(memorySource('t.fits', bytes));
    const pixel = new Float32Array(1);
    expect((await failure(plane.readRows(0, 1, pixel))).message).toContain('tile 2');
    await plane.readRows(1, 1, pixel);
    expect(pixel[0]).toBe(9);
  });

  it('needs a table header', async () => {
    const bytes = join(
      image(8, []),
      header(card('XTENSION', "'BINTABLE'"), card('BITPIX', 8), card('NAXIS', 0), ...tileCards('RICE_1', 8, [1, 1], 0)),
    );
    expect(await refused(bytes)).toContain('NAXIS1 is missing');
  });
});
