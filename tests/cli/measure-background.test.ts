import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { normalDeviates } from '../../lib/hours/random.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import { layOutSheet } from '../../lib/render/sheet.ts';
import { drawStack, lineTruth } from '../../samples/scene/index.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

/** A field whose nebula lies at the left edge; its gradient is a polynomial of order 2. */
const field = lineTruth({ width: 1200, height: 400, coverage: false, misfit: { O: { dx: -450 } } }, 'O');

const draw = async () => {
  const sink = memorySink();
  const writer = writeMono(sink, { width: 1200, height: 400, type: 'f32', cards: [] });
  await writer.writeRows(drawStack(field, 1));
  await writer.finish();
  await sink.close();
  return sink.bytes();
};
const written = draw();
const write = async (file: string) => writeFileSync(file, await written);

describe('linewash measure --background', () => {
  it('gives coefficients that are the planted ones, and how well they fit', () =>
    inFolder(async (folder) => {
      const file = join(folder, 'o.fits');
      await write(file);
      const picture = join(folder, 'sky.png');
      const ran = await linewash(['measure', `O=${file}`, '--background', '2', '--picture', picture, '--json']);
      expect(ran.code, ran.err).toBe(0);
      const [surface] = JSON.parse(ran.out).surfaces;
      expect(surface).toMatchObject({ name: 'O', order: 2, blockSize: 16 });
      // 1600 counts for each unit of the scene's gradient -0.03 u - 0.016 v + 0.006 u² + 0.004 uv + 0.002 v².
      const planted = [-48, -25.6, 9.6, 6.4, 3.2];
      planted.forEach((c, k) => {
        expect(Math.abs(surface.coefficients[k + 1] - c), `coefficient ${k + 1}`).toBeLessThan(6);
      });
      expect(surface.used).toBeLessThan(surface.blocks);
      expect(surface.rms).toBeLessThan(surface.pixelNoise);
      const { data, info } = await sharp(picture).raw().toBuffer({ resolveWithObject: true });
      expect(info.channels).toBe(3);
      // The sky falls from left to right: the model is brighter at the left, and rejected blocks there are framed in orange.
      const orange = [0, 0];
      for (let i = 0; i < info.width * info.height; i++)
        if (data[3 * i] === 222 && data[3 * i + 1] === 140) orange[i % info.width < info.width / 2 ? 0 : 1]!++;
      expect(orange[0]).toBeGreaterThan(5 * orange[1]!);
      const row = Math.floor(info.height / 3) * info.width;
      expect(data[3 * (row + 14)]!).toBeGreaterThan(data[3 * (row + info.width - 16)]!);
    }));

  it('draws masters of different sizes side by side, the larger one last', () =>
    inFolder(async (folder) => {
      // Noise alone, tall and wide.
      const normal = normalDeviates(1);
      const noise = async (name: string, width: number, height: number) => {
        const sink = memorySink();
        const writer = writeMono(sink, { width, height, type: 'f32', cards: [] });
        await writer.writeRows(Float32Array.from({ length: width * height }, () => 500 + 5 * normal()));
        await writer.finish();
        writeFileSync(join(folder, name), sink.bytes());
        return join(folder, name);
      };
      const [H, O] = [await noise('h.fits', 160, 96), await noise('o.fits', 96, 160)];
      const drawn = async (...words: string[]) => {
        const picture = join(folder, `${words.length}.png`);
        const ran = await linewash(['measure', ...words, '--background', '1', '--picture', picture]);
        expect(ran.code, ran.err).toBe(0);
        return sharp(picture).raw().toBuffer({ resolveWithObject: true });
      };
      const both = await drawn(`H=${H}`, `O=${O}`);
      const alone = await drawn(`O=${O}`);
      // The tall one is there as it is alone: 480 pixels high below the gap.
      const tall = layOutSheet(1, 288, 480);
      const { gap, columns, cell } = layOutSheet(2, 480, 480);
      expect([alone.info.width, alone.info.height]).toEqual([tall.width, tall.height]);
      const [left, top] = [gap + (1 % columns) * (480 + gap), gap + (columns > 1 ? 0 : 480 + cell.captionHeight + gap)];
      const part = (from: typeof both, x: number, y: number) =>
        Array.from({ length: 480 }, (_, r) => {
          const start = 3 * ((y + r) * from.info.width + x);
          return from.data.subarray(start, start + 3 * 288).toString('hex');
        });
      expect(part(both, left, top)).toEqual(part(alone, tall.gap, tall.gap));
    }));

  it('finds the most certain order, and says which one it is where another is stated', () =>
    inFolder(async (folder) => {
      const file = join(folder, 'o.fits');
      await write(file);
      const [best, stated] = await Promise.all(
        ['best', '4'].map((order) => linewash(['measure', `O=${file}`, '--background', order, '--json'])),
      );
      const [found] = JSON.parse(best!.out).surfaces;
      const figures = found.uncertainties.map((one: { uncertainty: number }) => one.uncertainty);
      expect(found.uncertainty).toBe(Math.min(...figures));
      expect(found.order).toBe(found.best);
      const other = JSON.parse(stated!.out);
      expect(other.surfaces[0]).toMatchObject({ order: 4, best: found.order, uncertainty: figures[3] });
      const recipe = JSON.stringify({ channels: ['O'], matrix: [[1], [1], [1]], background: { model: 'surface' } });
      const mixed = await linewash(['mix', recipe, `O=${file}`, '-o', join(folder, 'o.png'), '--json']);
      expect(mixed.code, mixed.err).toBe(0);
      expect(JSON.parse(mixed.out).settled.channels[0].surface).toEqual({
        order: found.order,
        coefficients: found.coefficients,
        uncertainty: found.uncertainty,
      });
    }));

  it('prints a table and warns where the surface follows the nebula', async () => {
    const ran = await linewash(['measure', `H=${SMALL.H}`, '--background', '2']);
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/line +order +uncertain by +orders 1, 2, … by +blocks used +rms +pixel noise/);
    expect(ran.err).toMatch(/may follow the nebula; draw boxes/);
  });

  it('takes boxes', () =>
    inFolder(async (folder) => {
      const file = join(folder, 'o.fits');
      await write(file);
      const boxes = ['--include', '1000,150,200,200', '--exclude', '1100,150,60,200'];
      const ran = await linewash(['measure', `O=${file}`, '--background', '1', ...boxes, '--json']);
      expect(ran.code, ran.err).toBe(0);
      const [surface] = JSON.parse(ran.out).surfaces;
      expect(surface.blocks).toBeLessThan(140);
      expect(surface.blocks).toBeGreaterThan(50);
    }));

  it.each([
    [['--background', '7'], /1, 2, 3, 4 or best/],
    [['--include', '1,2,3'], /X,Y,WIDTH,HEIGHT/],
    [['--picture', 'x.png'], /need a background surface/],
    [['--background', '2', '--picture', 'x.gif'], /the picture is written as/],
    [['--background', '2', '--include', '0,0,30,30'], /needs 12 blocks of sky/],
  ])('refuses %s', async (flags, message) => {
    const ran = await linewash(['measure', ...asWords({ H: SMALL.H }), ...flags]);
    expect(ran.code).not.toBe(0);
    expect(ran.err).toMatch(message);
  });
});
