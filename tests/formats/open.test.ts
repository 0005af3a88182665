import { describe, expect, it } from 'vitest';
import { openPlane } from '../../lib/formats/open.ts';
import { splitSelector } from '../../lib/formats/selector.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import { card, data, extension, image, join } from './fits/build.ts';
import { buildTiff, greyTags, words } from './tiff/build.ts';

describe('the spelling of a master', () => {
  it.each([
    ['s.fits', 's.fits', {}],
    ['s.fits[2]', 's.fits', { part: 2 }],
    ['s.fits[SCI]', 's.fits', { part: 'SCI' }],
    ['s.fits[2x]', 's.fits', { part: '2x' }],
    ['cube.fits#1', 'cube.fits', { plane: 0 }],
    ['a/b.tif[0]#3', 'a/b.tif', { part: 0, plane: 2 }],
    ['#1', '#1', {}],
    ['a#b.fits', 'a#b.fits', {}],
    ['[2]', '[2]', {}],
    ['a\nb.fits[1]', 'a\nb.fits', { part: 1 }],
    ['', '', {}],
  ])('%j', (spelling, file, selector) => {
    expect(splitSelector(spelling)).toEqual({ file, selector });
  });

  it('counts planes from 1', () => {
    expect(() => splitSelector('cube.fits#0')).toThrow(/planes are counted from 1/);
  });
});

/** Opens what a spelling means and gives the first sample. */
const first = async (bytes: Uint8Array, spelling: string): Promise<number> => {
  const { file, selector } = splitSelector(spelling);
  const source = await openPlane(memorySource(file, bytes), selector);
  const row = new Float32Array(source.width);
  await source.readRows(0, 1, row);
  return row[0]!;
};

describe('a chosen picture of a file', () => {
  const named = (name: string, value: number) => [
    extension('IMAGE', 8, [2, 1], card('EXTNAME', `'${name.padEnd(8)}'`)),
    data([value, 0]),
  ];
  const fits = join(image(8, []), ...named('SCI', 7), ...named('ERR', 9));
  const page = (value: number) => ({ tags: greyTags(2, 1, 16), chunks: [words([value, 0])] });
  const tiff = buildTiff([page(700), page(900)]);

  it.each([
    ['a.fits', 7],
    ['a.fits[1]', 7],
    ['a.fits[2]', 9],
    ['a.fits[ERR]', 9],
    ['a.fits[2]#1', 9],
  ])('%s of a FITS file', async (spelling, value) => {
    expect(await first(fits, spelling)).toBe(value);
  });

  it.each([
    ['a.tif', 700],
    ['a.tif[0]', 700],
    ['a.tif[1]', 900],
  ])('%s of a TIFF file', async (spelling, value) => {
    expect(await first(tiff, spelling)).toBe(value);
  });

  it('has no name in a TIFF file', async () => {
    await expect(first(tiff, 'a.tif[SCI]')).rejects.toThrow(/pages of a TIFF have numbers, not names like SCI/);
  });

  it.each([
    ['a PNG picture', [0x89, 0x50, 0x4e, 0x47]],
    ['a JPEG picture', [0xff, 0xd8, 0xff, 0xe0]],
    ['a ZIP archive', [0x50, 0x4b, 3, 4]],
    ['a web page', [0x3c, 0x21]],
  ])('is not %s', async (what, bytes) => {
    await expect(first(Uint8Array.from(bytes), 'a.fits')).rejects.toThrow(`this is ${what}`);
  });
});
