import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { catalogueRecipe } from '../../lib/checked.ts';
import { openMasters } from '../../lib/node/masters/masters.ts';
import { type MixOptions, mixFiles } from '../../lib/node/mix-files.ts';
import { preparedChannels } from '../../lib/recipe/settle/prepared.ts';
import { settleChannels } from '../../lib/recipe/settle/settle-channels.ts';
import { pictureInMemory, renderPicture } from '../../lib/render/picture.ts';
import { masterName } from '../../samples/scene/index.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-smooth-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const inputs = Object.fromEntries(
  (['S', 'H', 'O'] as const).map((line) => [line, join(process.env.LINEWASH_SMALL_MASTERS!, masterName(line))]),
);
const recipe = await catalogueRecipe('sho');
const smooth = { ...recipe, smooth: { strength: 0.8 } };

const bytesOf = async (name: string, options: Partial<MixOptions> = {}) => {
  const output = join(folder, name);
  const result = await mixFiles({ recipe: smooth, inputs, output, force: true, ...options });
  return { result, bytes: readFileSync(output) };
};

describe('a smoothed picture in a file', () => {
  it('has the same bytes on any number of threads, in every format, cut or whole', async () => {
    for (const name of ['a.tif', 'a.png', 'a.fits'])
      for (const crop of [false, true]) {
        const one = await bytesOf(name, { crop, threads: 1 });
        expect(one.result.settled.smooth?.guide).toBe('H');
        expect((await bytesOf(name, { crop, threads: 3 })).bytes.equals(one.bytes)).toBe(true);
      }
  });

  it('has the pixels that one thread computes from the masters in memory', async () => {
    const { bytes } = await bytesOf('b.tif', { sample: 'f32' });
    const masters = await openMasters(inputs);
    const { settled } = await settleChannels(smooth, masters);
    const { width, height } = masters[0]!.source;
    const { writer, picture } = pictureInMemory({ width, height, sample: 'f32', bands: 3 });
    await renderPicture(
      preparedChannels(settled, masters),
      settled,
      { width, height, sample: 'f32', bands: 3 },
      writer,
    );
    const data = Buffer.from(picture.data.buffer, picture.data.byteOffset, picture.data.byteLength);
    expect(bytes.includes(data)).toBe(true);
    await Promise.all(masters.flatMap(({ files }) => files.map((file) => file.bytes.close())));
  });

  it('of strength 0 is the one whose recipe says nothing of it', async () => {
    const plain = await bytesOf('c.tif', { recipe });
    const idle = await bytesOf('c.tif', { recipe: { ...recipe, smooth: { strength: 0, guide: 'S' } } });
    expect(idle.bytes.equals(plain.bytes)).toBe(true);
    expect((await bytesOf('c.tif')).bytes.equals(plain.bytes)).toBe(false);
  });
});
