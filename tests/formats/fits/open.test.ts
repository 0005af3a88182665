import { describe, expect, it } from 'vitest';
import { openFits } from '../../../lib/formats/fits/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { card, data, extension, failure, header, image, join, source } from './build.ts';
import { readAll } from './expected.ts';

const bytes = (count: number, from = 0) => data(Uint8Array.from({ length: count }, (_, i) => from + i));

describe('choosing an HDU', () => {
  const many = () =>
    source(
      image(8, []),
      extension('BINTABLE', 8, [4, 2], card('TFIELDS', 0), card('EXTNAME', "'EVENTS'")),
      bytes(8),
      extension('IMAGE', 8, [3, 2], card('EXTNAME', "'Sci '")),
      bytes(6, 10),
      extension('IMAGE', 8, [3, 2], card('EXTNAME', "'ERR'")),
      bytes(6, 20),
    );

  it('takes the first with pixels and says so', async () => {
    const plane = await openFits(many());
    expect(plane.file).toBe('test.fits');
    expect(plane.warnings).toEqual(['the primary HDU holds no image; HDU 2 "Sci" is read']);
    expect([...(await readAll(plane))]).toEqual([13, 14, 15, 10, 11, 12]);
  });

  it('takes one by index or by name, whatever the case', async () => {
    for (const hdu of [3, 'err', ' ERR ']) {
      const plane = await openFits(many(), { hdu });
      expect(plane.warnings).toEqual([]);
      expect(plane.file).toBe(`test.fits[${hdu}]`);
      expect((await readAll(plane))[3]).toBe(20);
    }
  });

  it('names what there is where the choice fails', async () => {
    const absent = await failure(openFits(many(), { hdu: 'mask' }));
    expect(absent.message).toContain(
      'no HDU named "mask": HDU 0 has no data, HDU 1 "EVENTS" is a table, HDU 2 "Sci" is an image of 3 × 2',
    );
    expect(absent.advice).toBe('images are test.fits[2], test.fits[3]');
    expect((await failure(openFits(many(), { hdu: 9 }))).message).toContain('no HDU 9');
    expect((await failure(openFits(many(), { hdu: 1 }))).message).toContain('HDU 1 "EVENTS" is a table');
    expect((await failure(openFits(many(), { hdu: 0 }))).message).toContain('HDU 0 has no data');
  });

  it.each([
    ['a table only', [image(8, []), extension('TABLE', 8, [4, 2]), bytes(8)], 'HDU 1 is a table'],
    ['an unknown extension', [image(8, []), extension('DUMP', 8, [4]), bytes(4)], 'HDU 1 is of an unknown kind'],
    [
      'random groups',
      [image(8, [0, 3], card('GROUPS', 'T'), card('PCOUNT', 1), card('GCOUNT', 2)), bytes(8)],
      'HDU 0 contains random groups',
    ],
    ['no pixels', [image(16, [0, 48])], 'HDU 0 has no pixels (0 × 48)'],
    ['many empty HDUs', [image(8, []), ...Array.from({ length: 8 }, () => extension('IMAGE', 8, []))], 'and 3 more'],
  ])('refuses %s', async (_, parts, reason) => {
    const error = await failure(openFits(source(...parts)));
    expect(error.message).toContain('no image with pixels');
    expect(error.message).toContain(reason);
    expect((await failure(openFits(source(...parts), { hdu: 'x' }))).advice).toContain('choose a file');
  });

  it('stops at bytes that are no extension', async () => {
    const plane = await openFits(source(image(8, [2, 1]), bytes(2, 7), Uint8Array.from([1, 2, 3])));
    expect([...(await readAll(plane))]).toEqual([7, 8]);
    expect((await failure(openFits(source(image(8, []), new Uint8Array(2880)), { hdu: 1 }))).message).toContain(
      'no HDU 1',
    );
  });
});

describe('choosing a plane', () => {
  const cube = () => source(image(8, [2, 1, 2, 2]), bytes(8));

  it('asks which, in the spelling of the command line', async () => {
    const error = await failure(openFits(cube()));
    expect(error.message).toContain('a cube of 4 planes of 2 × 1');
    expect(error.advice).toBe('name the plane: test.fits#1 to test.fits#4');
    expect((await failure(openFits(cube(), { hdu: 0 }))).advice).toContain('test.fits[0]#1');
  });

  it('takes the one named', async () => {
    const plane = await openFits(cube(), { hdu: 0, plane: 3 });
    expect(plane.file).toBe('test.fits[0]#4');
    expect([...(await readAll(plane))]).toEqual([6, 7]);
  });

  it.each([4, -1, 0.5])('refuses plane %d', async (plane) => {
    expect((await failure(openFits(cube(), { plane }))).message).toContain('the picture has 4');
  });

  it('reads degenerate axes as a picture', async () => {
    const plane = await openFits(source(image(8, [2, 2, 1, 1]), bytes(4)));
    expect([...(await readAll(plane))]).toEqual([2, 3, 0, 1]);
  });

  it('refuses spectra and sides beyond reason', async () => {
    expect((await failure(openFits(source(image(8, [5]), bytes(5))))).message).toContain('single axis');
    const wide = source(image(8, [1_000_001, 1]), new Uint8Array(1_002_240));
    expect((await failure(openFits(wide))).message).toContain('at most 1000000');
  });
});

describe('headers that are wrong', () => {
  it.each([
    ['BITPIX is 7', image(7, [2, 2]), 'BITPIX reads "7"'],
    ['BITPIX is missing', header(card('SIMPLE', 'T'), card('NAXIS', 0)), 'BITPIX is missing'],
    ['NAXIS is missing', header(card('SIMPLE', 'T'), card('BITPIX', 8)), 'NAXIS is missing'],
    ['NAXIS is 1000', header(card('SIMPLE', 'T'), card('BITPIX', 8), card('NAXIS', 1000)), 'at most 999'],
    ['NAXIS2 is negative', image(8, [2, -2]), 'NAXIS2 is -2'],
    [
      'NAXIS2 is missing',
      header(card('SIMPLE', 'T'), card('BITPIX', 8), card('NAXIS', 2), card('NAXIS1', 2)),
      'NAXIS2 is missing',
    ],
    ['the picture is huge', image(16, [2_000_000_000, 2_000_000_000]), 'more data than any file can hold'],
    ['the bytes are too many', image(-64, [94_906_265, 94_906_265]), 'more data than any file can hold'],
    [
      'data are short',
      join(image(8, [200, 20]), new Uint8Array(3999)),
      'promises 4000 bytes of pixels, 3999 are there',
    ],
    ['BSCALE is 0', join(image(8, [1, 1], card('BSCALE', 0)), bytes(1)), 'BSCALE is 0'],
    [
      'BZERO is text',
      join(image(8, [1, 1], card('BZERO', "'much'")), bytes(1)),
      'BZERO should be a number but reads "much"',
    ],
    ['it is HTML', new TextEncoder().encode('<!DOCTYPE html>'), 'not a FITS file'],
    ['it is empty', new Uint8Array(0), 'empty'],
    ['it is one byte', Uint8Array.of(0x53), 'not a FITS file'],
    ['it is cut in the first card', header(card('SIMPLE', 'T')).slice(0, 50), 'no END card'],
  ])('%s', async (_, file, message) => {
    const error = await failure(openFits(source(file)));
    expect(error.message).toContain(message);
    expect(error).toMatchObject({ tag: 'format', file: 'test.fits' });
  });
});

describe('readRows', () => {
  it('refuses windows outside the picture as a mistake of the caller', async () => {
    const plane = await openFits(source(image(8, [2, 3]), bytes(6)));
    const pixels = new Float32Array(6);
    for (const [y, rows] of [
      [-1, 1],
      [0, 4],
      [3, 1],
      [0.5, 1],
      [0, Number.NaN],
    ] as const)
      await expect(plane.readRows(y, rows, pixels)).rejects.toThrow(RangeError);
    await expect(plane.readRows(0, 3, new Float32Array(5))).rejects.toThrow('do not fit');
    await plane.readRows(3, 0, new Float32Array(0));
  });

  it('says where a file that became shorter ends', async () => {
    const file = join(image(8, [2, 3]), bytes(6));
    const short = memorySource('test.fits', file.slice(0, 2883));
    const plane = await openFits({
      name: 'test.fits',
      size: file.length,
      read: (offset, length) => short.read(offset, length),
    });
    expect((await failure(plane.readRows(0, 3, new Float32Array(6)))).message).toContain('ends early');
  });
});

describe('row order', () => {
  it.each([
    ["'TOP-DOWN'", [0, 1, 2, 3], 'TOP-DOWN'],
    ["'top-down  '", [0, 1, 2, 3], 'TOP-DOWN'],
    ["'BOTTOM-UP'", [2, 3, 0, 1], undefined],
    ["'SIDEWAYS'", [2, 3, 0, 1], '"SIDEWAYS" is not known'],
  ])('ROWORDER = %s', async (order, pixels, warning) => {
    const plane = await openFits(source(image(8, [2, 2], card('ROWORDER', order)), bytes(4)));
    expect([...(await readAll(plane))]).toEqual(pixels);
    expect(plane.raw?.bottomUp).toBe(pixels[0] === 2);
    if (warning) expect(plane.warnings.join()).toContain(warning);
    else expect(plane.warnings).toEqual([]);
  });
});

describe('a chain of HDUs', () => {
  const chain = (count: number) => {
    const empty = extension('IMAGE', 8, []);
    return join(image(8, []), ...Array.from({ length: count - 1 }, () => empty));
  };

  it('is searched up to 2,000, which is said', async () => {
    const error = await failure(openFits(memorySource('many.fits', chain(3000))));
    expect(error.message).toMatch(/and 1994 more; only the first 2000 HDUs of a file are searched$/);
    const named = await failure(openFits(memorySource('many.fits', chain(3000)), { hdu: 2500 }));
    expect(named.message).toMatch(/^there is no HDU 2500: .*only the first 2000 HDUs of a file are searched$/);
    expect((await failure(openFits(memorySource('few.fits', chain(9))))).message).toMatch(/and 3 more$/);
  });
});
