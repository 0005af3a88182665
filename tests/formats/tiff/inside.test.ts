import { describe, expect, it } from 'vitest';
import { openPlane } from '../../../lib/formats/open.ts';
import { splitSelector } from '../../../lib/formats/selector.ts';
import { openTiff } from '../../../lib/formats/tiff/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { buildTiff, greyTags, type Page, type Tag, words } from './build.ts';
import { readWhole } from './reading.ts';

const page = (value: number, more: readonly Tag[] = [], inside: readonly Page[] = []): Page => ({
  tags: greyTags(1, 1, 16, more),
  chunks: [words([value])],
  inside,
});
const SMALL: readonly Tag[] = [[254, 4, [1]]];
const open = (pages: readonly Page[], spelling = 'file.tif') => {
  const { file, selector } = splitSelector(spelling);
  return openPlane(memorySource(file, buildTiff(pages)), selector);
};
const value = async (pages: readonly Page[], spelling?: string) => (await readWhole(await open(pages, spelling)))[0];

const nested = [page(1, [], [page(2, SMALL), page(3, [], [page(4), page(5)]), page(6)]), page(7)];

describe('pictures inside a page', () => {
  it.each([
    ['file.tif', 1],
    ['file.tif[0.0]', 2],
    ['file.tif[0.1]', 3],
    ['file.tif[0.1.0]', 4],
    ['file.tif[0.1.1]', 5],
    ['file.tif[0.2]', 6],
    ['file.tif[1]', 7],
  ])('are named by the numbers on the way: %s', async (spelling, wanted) => {
    expect(await value(nested, spelling)).toBe(wanted);
    expect((await open(nested, spelling)).file).toBe(spelling);
  });

  it('are named in a message where they are full pictures', async () => {
    const { warnings } = await open(nested);
    expect(warnings.at(-1)).toBe('page [0] holds further pictures inside it: file.tif[0.1], file.tif[0.2]');
    expect((await open([page(1, [], [page(2, SMALL)])])).warnings).toEqual([]);
  });

  it('are taken where no page is a full picture', async () => {
    const raw = [page(1, SMALL), page(2, SMALL, [page(3, SMALL), page(4)])];
    expect(await value(raw)).toBe(4);
    expect((await open(raw)).warnings).toEqual([
      'every page is marked as a thumbnail or mask; the picture [1.1] inside one was taken',
    ]);
    const none = await open([page(1, SMALL, [page(2, SMALL)])]);
    expect(none.warnings).toEqual(['every page is marked as a thumbnail or mask; page [0] was taken']);
  });

  it.each([
    ['file.tif[0.3]', 'there is no page 0.3', 'inside it are [0.0] to [0.2]'],
    ['file.tif[1.0]', 'there is no page 1.0', 'page [1] holds no other pages'],
    ['file.tif[2.0]', 'there is no page 2.0', 'pages are [0] to [1]'],
    ['file.tif[0.1.0.4]', 'there is no page 0.1.0.4', 'page [0.1.0] holds no other pages'],
  ])('that are not there are refused: %s', async (spelling, message, advice) => {
    await expect(open(nested, spelling)).rejects.toMatchObject({ tag: 'format', message, advice });
  });

  it('of one say so', async () => {
    await expect(open([page(1, [], [page(2)])], 'a.tif[0.1]')).rejects.toMatchObject({
      advice: 'page [0] holds one page, [0.0]',
    });
    await expect(open([page(1)], 'a.tif[1]')).rejects.toMatchObject({ advice: 'it has one page, [0]' });
    for (const part of ['0.', '.0', '0..1', '0.x', '-1', 'SCI'])
      await expect(open(nested, `a.tif[${part}]`)).rejects.toThrow(`not names like ${part}`);
  });

  it('that cannot be read do not keep the page from being read', async () => {
    for (const places of [[0xffffff], [0], [2]]) expect(await value([page(1, [[330, 4, places]])])).toBe(1);
    expect(await value([page(1, [[330, 2, 'text that is no place']])])).toBe(1);
    await expect(open([page(1, [[330, 4, [0xffffff]]])], 'a.tif[0.0]')).rejects.toMatchObject({ tag: 'format' });
  });

  it('are looked at within bounds: large directories pointed to many times', async () => {
    const many = Array.from({ length: 60_000 }, (_, i): Tag => [400 + (i % 100), 3, [1]]);
    const bytes = buildTiff(
      [{ ...page(1, SMALL), inside: [{ tags: [...greyTags(1, 1, 16, SMALL), ...many], chunks: [words([2])] }] }],
      {},
      1 << 21,
    );
    const view = new DataView(bytes.buffer);
    const directory = view.getUint32(4, true);
    let reads = 0;
    for (let i = 0; i < view.getUint16(directory, true); i++) {
      const at = directory + 2 + 12 * i;
      if (view.getUint16(at, true) !== 330) continue;
      // 200 places instead of one, all the same.
      const list = bytes.length;
      const longer = new Uint8Array(list + 800);
      longer.set(bytes);
      const changed = new DataView(longer.buffer);
      for (let k = 0; k < 200; k++) changed.setUint32(list + 4 * k, view.getUint32(at + 8, true), true);
      changed.setUint32(at + 4, 200, true);
      changed.setUint32(at + 8, list, true);
      const source = memorySource('many.tif', longer);
      const read: typeof source.read = (offset, length) => {
        reads++;
        return source.read(offset, length);
      };
      await openTiff({ ...source, read });
    }
    expect(reads).toBeGreaterThan(5);
    expect(reads).toBeLessThan(60);
  });
});

describe('a tag that occurs twice', () => {
  it('is named, and the first is used', async () => {
    const twice = buildTiff([
      { tags: [...greyTags(2, 1, 16), [256, 4, [1]], [305, 2, 'one'], [305, 2, 'two']], chunks: [words([1, 2])] },
    ]);
    const plane = await openTiff(memorySource('t.tif', twice));
    expect(plane.width).toBe(2);
    expect(plane.warnings).toEqual([
      'ImageWidth occurs twice in its directory; the first is used',
      'Software occurs twice in its directory; the first is used',
    ]);
  });
});
