import { openAsBlob } from 'node:fs';
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { openPlane } from '../../lib/formats/open.ts';
import { catalogueRecipe } from '../../lib/index.ts';
import { openFile } from '../../lib/node/files/file-source.ts';
import { closeMasters, type MixOptions, mixFiles, openMasters } from '../../lib/node/index.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import { isMarked } from '../../lib/plane/mask.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import { inTurn } from '../cases.ts';
import { linewash } from '../cli/capture.ts';

const recipe = catalogueRecipe('hoo');
let folder: string;
let inputs: Record<'H' | 'O', string>;
const at = (name: string) => join(folder, name);
const mixed = (more: Partial<MixOptions>) =>
  mixFiles({ recipe, inputs, output: at('mix.tif'), force: true, threads: 1, ...more });
/** The picture of rejected pixels as FITS: a value a pixel. */
const valuesIn = async (file: string) => {
  const bytes = await openFile(at(file), file);
  const { width, height, readRows, facts } = await openPlane(bytes);
  const data = new Float64Array(width * height);
  await readRows(0, height, data);
  await bytes.close();
  return { width, height, data, facts };
};

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'linewash-rejected-'));
  await linewash(['samples', folder, '--target', 'palehoop', '--size', '480', '--quiet']);
  inputs = { H: at('palehoop-H.fits'), O: `${at('palehoop-O.fits')},${at('palehoop-O-last-year.fits')}` };
});
afterAll(() => rm(folder, { recursive: true }));

describe('the picture of rejected pixels', () => {
  it('shows exactly where the combination is not the mean of all masters', async () => {
    const { rejected, settled } = await mixed({ rejected: at('rejected.fits') });
    const { width, height, data } = await valuesIn('rejected.fits');
    const masters = await openMasters({ O: inputs.O });
    const { source, match } = masters[0]!;
    const together = new Float64Array(width * height);
    await source.readRows(0, height, together);
    const parts = settled.channels.find(({ name }) => name === 'O')!.combined!;
    const planes = await Promise.all(
      match!.parts.map(async (part, k) => {
        const plane = new Float64Array(width * height);
        await part.source.readRows(0, height, plane);
        return plane.map((value) => parts[k]!.scale * value + parts[k]!.offset);
      }),
    );
    await closeMasters(masters);
    const counts = [0, 0];
    for (const [i, value] of data.entries()) {
      const [a, b] = [planes[0]![i]!, planes[1]![i]!];
      const all = (parts[0]!.weight * a + parts[1]!.weight * b) / (parts[0]!.weight + parts[1]!.weight);
      const differs = Number.isFinite(a) && Number.isFinite(b) && Math.abs(together[i]! - all) > 1e-9 * Math.abs(all);
      // What is left is the other master.
      const left = differs && (Math.abs(together[i]! - b) < Math.abs(together[i]! - a) ? 1 : 2);
      if (value !== Number(left)) expect.fail(`pixel ${i} has ${value}, not ${left}`);
      if (value > 0) counts[value - 1]!++;
    }
    expect(rejected).toEqual([
      { line: 'O', file: at('palehoop-O.fits'), pixels: counts[0], value: 1 },
      { line: 'O', file: at('palehoop-O-last-year.fits'), pixels: counts[1], value: 2 },
    ]);
  });

  it('shows the trail that the scene draws through this year’s master', async () => {
    const { width, height, data } = await valuesIn('rejected.fits');
    // As the scene has it: from (.02, .86) to (.66, .05) of the frame. A middle half, clear of both ends.
    let found = 0;
    for (let k = 0; k < 100; k++) {
      const share = 0.25 + k / 200;
      const [x, y] = [(0.02 + 0.64 * share) * width, (0.86 - 0.81 * share) * height];
      found += Number(data[Math.floor(y) * width + Math.floor(x)] === 1);
    }
    expect(found).toBeGreaterThan(90);
  });

  it('has colours as PNG and TIFF, the same bytes on any number of threads, and the same pixels as FITS', async () => {
    const { rejected } = await mixed({ rejected: at('one.png') });
    await mixed({ rejected: at('four.png'), threads: 4 });
    await mixed({ rejected: at('one.tif') });
    expect((await readFile(at('one.png'))).equals(await readFile(at('four.png')))).toBe(true);
    expect(rejected!.map(({ colour }) => colour)).toEqual(['#ffa028', '#46c8ff']);
    const { data } = await valuesIn('rejected.fits');
    for (const file of ['one.png', 'one.tif']) {
      const pixels = await sharp(at(file)).raw().toBuffer();
      expect(pixels.length).toBe(3 * data.length);
      for (const [i, value] of data.entries())
        if (pixels.readUIntBE(3 * i, 3) !== [0, 0xffa028, 0x46c8ff][value])
          expect.fail(`${file}: pixel ${i} is #${pixels.readUIntBE(3 * i, 3).toString(16)}`);
    }
    // It is no recipe.
    expect((await linewash(['recipe', 'show', at('one.png')])).err).toContain('this picture contains no recipe');
  });

  it.skipIf(!inTurn('a cropped'))('has the frame of a cropped mix', async () => {
    const whole = await valuesIn('rejected.fits');
    // A master of H without its first columns and last rows.
    const sink = memorySink();
    const size = { width: whole.width, height: whole.height };
    const writer = writeMono(sink, { ...size, type: 'f32', cards: [] });
    const covers = (i: number) => i % size.width > 30 && i < (size.height - 20) * size.width;
    await writer.writeRows(Float32Array.from(whole.data, (_, i) => (covers(i) ? 100 + (i % 97) : Number.NaN)));
    await writer.finish();
    await writeFile(at('part-H.fits'), sink.bytes());
    const part = { H: at('part-H.fits'), O: inputs.O };
    const { settled, width, height } = await mixed({ inputs: part, rejected: at('crop.fits'), crop: true });
    expect(settled.crop).toEqual({ x: 31, y: 0, width: size.width - 31, height: size.height - 20 });
    const cut = await valuesIn('crop.fits');
    expect([cut.width, cut.height]).toEqual([width, height]);
    for (let i = 0; i < cut.data.length; i++) {
      const [x, y] = [31 + (i % width), Math.floor(i / width)];
      if (cut.data[i] !== whole.data[y * whole.width + x]) expect.fail(`${x}, ${y}`);
    }
  });

  it('is what the page marks', async () => {
    const service = createService();
    const context: CallContext = { signal: new AbortController().signal, progress: () => {} };
    for (const [id, path] of inputs.O.split(',').entries())
      await service.open({ id: `o${id}`, name: `${id}.fits`, from: await openAsBlob(path) });
    const found = await service.rejected({ lines: { O: 'o0+o1' } }, context);
    const { width, data } = await valuesIn('rejected.fits');
    for (const [i, value] of data.entries()) {
      const marks = found.map(({ mask }) => isMarked(mask, i % width, Math.floor(i / width)));
      if (value !== Number(marks[0]) + 2 * Number(marks[1])) expect.fail(`pixel ${i}`);
    }
    expect(found.map(({ file }) => file)).toEqual(['0.fits', '1.fits']);
    expect(found[0]!.largest!.width).toBeGreaterThan(0.5 * 0.64 * width);
    expect(await service.rejected({ lines: { O: 'o0' } }, context)).toEqual([]);
  });

  it('is told of on the command line', async () => {
    const words = ['mix', 'hoo', `H=${inputs.H}`, `O=${inputs.O}`, '-o', at('told.tif'), '--rejected', at('told.fits')];
    const { err, code } = await linewash(words);
    expect(code).toBe(0);
    expect(err).toMatch(/told\.fits: value 1: \d+ pixels of O, .*palehoop-O\.fits\n/);
    const json = JSON.parse((await linewash([...words, '--json', '--force'])).out);
    expect(json.rejected.map(({ value }: { value: number }) => value)).toEqual([1, 2]);
  });

  it.each<[string, Partial<MixOptions>, RegExp]>([
    ['a lossy format', { rejected: 'a.jpg' }, /written as \.tif, \.png or \.fits/],
    ['a shrunk mix', { rejected: 'a.png', size: 100 }, /this picture is shrunk/],
    ['its own name for the mix', { rejected: 'mix.tif' }, /is the name of the mix as well/],
    ['the name of a master', { rejected: 'palehoop-O.fits' }, /is one of the masters/],
    ['lines of one master', { rejected: 'a.png', inputs: undefined }, /each line has one master/],
  ])('refuses %s, and writes nothing', async (_, { rejected, ...more }, words) => {
    const alone = { H: inputs.H, O: at('palehoop-O.fits') };
    const before = await readdir(folder);
    const wish = { ...more, ...('inputs' in more && { inputs: alone }), rejected: at(rejected!) };
    await expect(mixed({ ...wish, output: at(rejected === 'mix.tif' ? rejected : 'new.tif') })).rejects.toThrow(words);
    expect(await readdir(folder)).toEqual(before);
  });

  it('refuses to replace a file unasked', async () => {
    const rejected = at('rejected.fits');
    const output = at('unasked.tif');
    await expect(mixed({ output, rejected, force: false })).rejects.toMatchObject({ tag: 'output', file: rejected });
    expect(await readdir(folder)).not.toContain('unasked.tif');
  });
});
