import { describe, expect, it } from 'vitest';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { openRecipe } from '../../../lib/recipe/written/open.ts';

const open = (bytes: Uint8Array | string) =>
  openRecipe(memorySource('some.file', typeof bytes === 'string' ? new TextEncoder().encode(bytes) : bytes));

// Pictures that linewash wrote are opened in tests/cli/recipe.test.ts.
describe('a recipe out of bytes', () => {
  it('is read from JSON, with or without a byte-order mark', async () => {
    const text = '{"matrix": [[1,0,0],[0,1,0],[0,0,1]]}';
    expect(await open(text)).toEqual(JSON.parse(text));
    expect(await open(`\ufeff${text}`)).toEqual(JSON.parse(text));
  });

  it.each<[string, Uint8Array | string, RegExp]>([
    ['nothing', '', /empty/],
    ['other text', 'SIMPLE', /not valid JSON/],
    ['bytes', Uint8Array.of(0xff, 0xfe, 0x00), /not text in UTF-8/],
    ['a file of 5 MiB', new Uint8Array(5 << 20).fill(32), /too long for a recipe/],
    ['the start of a TIFF', Uint8Array.of(0x49, 0x49, 0x2a, 0), /./],
    ['the start of a PNG', Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a), /contains no recipe/],
    ['the start of a FITS file', 'SIMPLE  =                    T', /./],
  ])('is not in %s', async (_, bytes, message) => {
    await expect(open(bytes)).rejects.toMatchObject({
      name: 'LinewashError',
      file: 'some.file',
      message: expect.stringMatching(message),
    });
  });
});
