import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { openPlane } from '../../../lib/formats/open.ts';
import { borderZeros } from '../../../lib/measure/border.ts';
import type { Channel } from '../../../lib/measure/measure.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { hidePixels, planeSource } from '../../../lib/plane/memory-plane.ts';
import { surfaceAt } from '../../../lib/prepare/background/surface.ts';
import { fitChannelSurface } from '../../../lib/recipe/settle/find-surfaces.ts';
import { settleChannels } from '../../../lib/recipe/settle/settle-channels.ts';
import { surfaceWarning } from '../../../lib/recipe/settle/surface-warnings.ts';
import type { Recipe } from '../../../lib/recipe/written/schema.ts';
import { drawStack, LINES, noisePlane, sceneTruth } from '../../../samples/scene/index.ts';
import { inTurn, someOf } from '../../cases.ts';

const SHO: Recipe = {
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
};

/** A wide field whose nebula lies at the left edge and leaves sky. */
const away = { dx: -450 };
const truth = sceneTruth({ width: 1200, height: 400, coverage: false, misfit: { S: away, H: away, O: away } });
const channels: Channel[] = LINES.map((name) => {
  const { width, height } = truth[name];
  return { name, source: planeSource(name, { width, height, data: drawStack(truth[name], 1) }) };
});

describe('background of the sample scene', () => {
  it.each(someOf([2, undefined] as const, 1))(
    'follows the planted gradient to less than half the noise of a pixel: order %s',
    async (order) => {
      const { settled, warnings } = await settleChannels(
        { ...SHO, background: { model: 'surface', ...(order && { order }) } },
        channels,
      );
      // Of a stated order at most that another is better.
      expect(warnings.filter((w) => w.includes('surface') && !(order && w.includes('is better')))).toEqual([]);
      for (const { name, surface } of settled.channels) {
        const { gradient, width, height } = truth[name as 'S'];
        const noise = noisePlane(truth[name as 'S'])
          .slice()
          .sort()[(width * height) / 2]!;
        const mean = gradient.reduce((a, b) => a + b, 0) / gradient.length;
        let squares = 0;
        let planted = 0;
        gradient.forEach((value, i) => {
          const found = surfaceAt(
            surface!,
            (2 * (i % width) + 1) / width - 1,
            (2 * Math.floor(i / width) + 1) / height - 1,
          );
          squares += (found - (value - mean)) ** 2;
          planted += (value - mean) ** 2;
        });
        expect(Math.sqrt(planted / gradient.length), `${name}: what was planted`).toBeGreaterThan(noise);
        expect(Math.sqrt(squares / gradient.length), `${name}: what is left`).toBeLessThan(0.5 * noise);
      }
    },
  );

  it.skipIf(!inTurn('the ratios'))('recovers the ratios of the lines within 3 %', async () => {
    const { settled, measured } = await settleChannels(
      { ...SHO, background: { model: 'surface', order: 2, from: 'dark-blocks' } },
      channels,
    );
    const light = settled.channels.map(({ name, background, surface }, c) => {
      const { width, height, nebula, stars, mean } = truth[name as 'S'];
      expect(measured[c]!.counted).toBe(width * height);
      const data = drawStack(truth[name as 'S'], 1);
      let sum = 0;
      data.forEach((value, i) => {
        sum +=
          value -
          background -
          surfaceAt(surface!, (2 * (i % width) + 1) / width - 1, (2 * Math.floor(i / width) + 1) / height - 1);
      });
      const total = nebula.reduce((a, v, i) => a + v + stars[i]!, 0);
      return { found: sum / mean.length, true: total / mean.length };
    });
    for (const a of light)
      for (const b of light) expect(Math.abs(a.found / b.found / (a.true / b.true) - 1)).toBeLessThan(0.03);
  });

  it.skipIf(!inTurn('surface follows'))('says where a surface follows the nebula', async () => {
    const full = sceneTruth({ width: 600, height: 400, coverage: false });
    const { width, height } = full.H;
    const H: Channel = { name: 'H', source: planeSource('H', { width, height, data: drawStack(full.H, 1) }) };
    const recipe: Recipe = { channels: ['H'], matrix: [[1], [1], [1]], background: { model: 'surface' } };
    const { warnings } = await settleChannels(recipe, [H]);
    expect(warnings.join()).toMatch(/H .*may follow the nebula; draw boxes/);
  });

  it.skipIf(!inTurn('a guess'))('says where a surface is a guess over most of the frame', async () => {
    const along = [[600, 150, 600, 60]] as [number, number, number, number][];
    const corners = [...along, [450, 10, 700, 60], [450, 330, 700, 60]] as [number, number, number, number][];
    const warned = async (include: typeof along) => {
      const recipe: Recipe = { ...SHO, background: { model: 'surface', reject: 'both', include } };
      return (await settleChannels(recipe, channels)).warnings.filter((words) => words.includes('is a guess'));
    };
    // 600 of 1200 by 60 of 400 pixels, in whole blocks of 16; then from row 10 to row 390.
    expect((await warned(along))[0]).toMatch(/^S \(S\): .* spans (4[89]|5[01]) × 1[3-8] % of the frame/);
    expect(await warned(corners)).toEqual([]);
  });

  it('says how many blocks a surface rests on, and nothing where noise is all that is left', async () => {
    const [H] = channels;
    const found = await fitChannelSurface(H!, { model: 'surface', order: 2 });
    const count = found.fit.used.filter((used) => used).length;
    expect(count).toBeLessThan(found.grid.blocks.length);
    const scattered = { ...found, span: { width: 1, height: 1 }, fit: { ...found.fit, rms: 2 * found.pixelNoise } };
    const [words, ...more] = surfaceWarning(H!, scattered);
    expect(more).toEqual([]);
    expect(words).toContain(`${count} of ${found.grid.blocks.length}`);
    expect(surfaceWarning(H!, { ...scattered, fit: { ...found.fit, rms: found.pixelNoise } })).toEqual([]);
  });

  it('keeps given coefficients and refuses to fit what has too few blocks', async () => {
    const coefficients = { '*': [0, 1, 2] };
    const given = await settleChannels({ ...SHO, background: { model: 'surface', order: 1, coefficients } }, channels);
    expect(given.settled.channels.map(({ surface }) => surface)).toEqual(
      LINES.map(() => ({ order: 1, coefficients: [0, 1, 2] })),
    );
    const include = [[0, 0, 40, 40]] as [number, number, number, number][];
    await expect(
      settleChannels({ ...SHO, background: { model: 'surface', order: 2, include } }, channels),
    ).rejects.toMatchObject({
      tag: 'input',
      message: expect.stringMatching(/order 2 needs 12 blocks of sky, \d+ hold data/),
    });
  });
});

describe('level of the background', () => {
  const level = async (background: Recipe['background']) =>
    (await settleChannels({ ...SHO, background }, channels)).settled.channels.map((c) => c.background);

  it('is taken from a box', async () => {
    const found = await level({ from: [1000, 100, 100, 100] });
    const { mean, width } = truth.H;
    const inside = [...mean].filter(
      (_, i) => i % width >= 1000 && i % width < 1100 && i >= 100 * width && i < 200 * width,
    );
    expect(Math.abs(found[1]! - inside.reduce((a, b) => a + b, 0) / inside.length)).toBeLessThan(1);
  });

  it('is lower in dark blocks than after clipping', async () => {
    const [dark, clipped] = [await level({ from: 'dark-blocks' }), await level({ from: 'clip' })];
    LINES.forEach((_, c) => {
      expect(dark[c]!).toBeLessThan(clipped[c]!);
    });
  });

  it('needs a box with data', async () => {
    await expect(level({ from: [5000, 0, 10, 10] })).rejects.toMatchObject({
      tag: 'input',
      message: expect.stringMatching(/5000,0 .* holds no data/),
    });
  });
});

describe('a frame that a nebula fills', () => {
  const settledOn = async (files: Record<string, string>, recipe: Recipe = SHO) => {
    const open = async (file: string) => {
      const source = await openPlane(memorySource(file, await readFile(file)));
      const mask = await borderZeros(source);
      return mask ? hidePixels(source, mask) : source;
    };
    const names = Object.keys(files);
    const opened = await Promise.all(names.map(async (name) => ({ name, source: await open(files[name]!) })));
    return settleChannels(recipe, opened);
  };

  it('is not seen in the sample masters', async () => {
    const files = Object.fromEntries(LINES.map((line) => [line, `samples/masters/emberwing-${line}.fits`]));
    const found = await settledOn(files);
    expect(found.warnings).toEqual([]);
    expect(found.settled.channels.map((c) => c.background)).toEqual(found.measured.map((m) => Math.fround(m.level)));
  });

  it.skipIf(!existsSync('../shared/data'))(
    'is seen where there is no sky, and shown neither dark nor pale',
    async () => {
      const files = Object.fromEntries(
        ['sii', 'ha', 'oiii'].map((l, i) => [LINES[i], `../shared/data/m42/m42_${l}_256_f32.fits`]),
      );
      const { settled, measured, warnings } = await settledOn(files);
      expect(warnings.join()).toMatch(/H and O fill the frame with nebula.*dark/);
      settled.channels.forEach(({ background, black, white, stretch: { a } }, c) => {
        const z = (measured[c]!.median - background - black) / (white - black);
        expect(z / ((1 / a! - 2) * (1 - z) + 1)).toBeCloseTo(0.3, 5);
        expect(background).toBeLessThan(measured[c]!.percentiles['5']! * 1.05);
      });
      const clipped = await settledOn(files, { ...SHO, background: { from: 'clip' } });
      expect(clipped.warnings).toEqual([]);
    },
  );
});
