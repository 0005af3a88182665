import { describe, expect, it } from 'vitest';
import { samplesFor } from '../../../lib/plane/strips.ts';
import { openSource } from '../../../lib/web/bytes/open-source.ts';
import { openMaster } from '../../../lib/web/open-master.ts';
import { buildTiff, greyTags, words } from '../../formats/tiff/build.ts';

const bytes = buildTiff([1, 2, 3].map((value) => ({ tags: greyTags(1, 1, 16), chunks: [words([value])] })));
const file = (name: string) => new File([new Uint8Array(bytes)], name);

const first = async (name: string, from: Blob): Promise<[string, number]> => {
  const source = await openSource(name, from);
  const into = samplesFor(source, 1);
  await source.readRows(0, 1, into);
  return [source.file, into[0]!];
};

describe('a file of several pages on the page', () => {
  it('tells the endings of the others, which open them', async () => {
    const { opened } = await openMaster('m', 'night.tif', file('night.tif'));
    expect(opened.others).toEqual(['[1]', '[2]']);
    expect(opened.warnings).toEqual(['it has 3 pages; page [0] was taken; page [1] is file.tif[1]']);
    expect(await first('night.tif', file('night.tif'))).toEqual(['night.tif', 1]);
    for (const [i, ending] of opened.others!.entries()) {
      expect(await first(`night.tif${ending}`, file('night.tif'))).toEqual([`night.tif${ending}`, i + 2]);
      const other = await openMaster('o', `night.tif${ending}`, file('night.tif'));
      expect([other.opened.others, other.opened.warnings]).toEqual([undefined, []]);
    }
  });

  it('takes nothing from brackets in the name of the file itself', async () => {
    expect(await first('night[2]', file('night[2]'))).toEqual(['night[2]', 1]);
    expect(await first('night.tif[2]', file('night.tif[2]'))).toEqual(['night.tif[2]', 1]);
    expect(await first('night.tif[2]', new Blob([new Uint8Array(bytes)]))).toEqual(['night.tif[2]', 1]);
  });
});
