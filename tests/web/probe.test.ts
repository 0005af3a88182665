import { openAsBlob } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { catalogueRecipe, memorySink } from '../../lib/node/index.ts';
import type { WrittenRecipe } from '../../lib/recipe/schema.ts';
import { MARKS } from '../../lib/web/marks.ts';
import type { CallContext } from '../../lib/web/rpc.ts';
import { createService } from '../../lib/web/service.ts';

const sample = (line: string) => new URL(`../../samples/masters/emberwing-${line}.fits`, import.meta.url).pathname;
const lines = { S: 's', H: 'h', O: 'o' };
const context: CallContext = { signal: new AbortController().signal, progress: () => {} };

const master = async (width: number, height: number, value: (x: number, y: number) => number): Promise<Blob> => {
  const sink = memorySink();
  const writer = writeMono(sink, { width, height, type: 'f32', cards: [] });
  const rows = Float32Array.from({ length: width * height }, (_, i) => value(i % width, Math.floor(i / width)));
  await writer.writeRows(rows);
  await writer.finish();
  return new Blob([sink.bytes()]);
};

describe('the probe', () => {
  const service = createService();
  beforeAll(async () => {
    for (const line of ['S', 'H', 'O'] as const)
      await service.open({ id: lines[line], name: line, from: await openAsBlob(sample(line)) });
  });

  it.each(['ember', 'sho', 'natural', 'plainsight'])('tells the colour that %s writes', async (id) => {
    const recipe = catalogueRecipe(id)!;
    for (const [x, y] of [
      [130, 95],
      [400, 300],
      [777, 123],
    ] as const) {
      const { colour } = await service.probe({ lines, recipe, x, y }, context);
      const box = { x, y, width: 1, height: 1 };
      const { data } = await service.detail({ lines, recipe, box }, context);
      for (let b = 0; b < 3; b++) expect(Math.abs(colour!.rgb[b]! * 255 - data[b]!)).toBeLessThanOrEqual(0.51);
    }
  });

  it('splits the mix into what each line brings', async () => {
    const recipe: WrittenRecipe = {
      matrix: [
        [0, 1, 0],
        [0.25, 0, 0.75],
        [0, 0, 1],
      ],
      balance: 'as-written',
    };
    const answer = await service.probe({ lines, recipe, x: 420, y: 280 }, context);
    for (let b = 0; b < 3; b++)
      expect(answer.lines.reduce((sum, { brings }) => sum + brings[b]!, 0)).toBeCloseTo(answer.mixed![b]!, 12);
    const [s, h, o] = answer.lines;
    expect(s!.brings).toEqual([0, 0.25 * s!.strength, 0]);
    expect(h!.brings[0]).toBe(h!.strength);
    expect(o!.brings[1]).toBeCloseTo(0.75 * o!.strength, 12);
    expect(answer.noise!.every((v) => v > 0 && v < 0.2)).toBe(true);
  });

  it('tells the same pixel in other mixes', async () => {
    const recipe = catalogueRecipe('ember')!;
    const others = [
      { id: 'hoo', recipe: catalogueRecipe('hoo')! },
      {
        id: 'needs-more',
        recipe: {
          channels: ['S', 'H', 'X'],
          matrix: [
            [1, 0, 1],
            [0, 1, 0],
            [0, 0, 1],
          ],
        },
      },
    ];
    const answer = await service.probe({ lines, recipe, x: 100, y: 100, others }, context);
    const alone = await service.probe({ lines, recipe: others[0]!.recipe, x: 100, y: 100 }, context);
    expect(answer.others).toEqual([{ id: 'hoo', colour: alone.colour }]);
  });

  it('reads the masters in their own units, and says where there is no data', async () => {
    const flat = createService();
    // Every pixel is its own number; one is missing in O.
    const blob = (factor: number, hole = -1) =>
      master(40, 30, (x, y) => (y * 40 + x === hole ? Number.NaN : factor * (y * 40 + x + 1)));
    await flat.open({ id: 's', name: 's.fits', from: await blob(1) });
    await flat.open({ id: 'h', name: 'h.fits', from: await blob(2) });
    await flat.open({ id: 'o', name: 'o.fits', from: await blob(3, 407) });
    const recipe: WrittenRecipe = {
      matrix: [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ],
    };
    const found = await flat.probe({ lines, recipe, x: 6, y: 10 }, context);
    expect(found.lines.map(({ value }) => value)).toEqual([407, 814, 1221]);
    const hole = await flat.probe({ lines, recipe, x: 7, y: 10 }, context);
    expect(hole.lines.map(({ value }) => value)).toEqual([408, 816, Number.NaN]);
    expect([hole.colour, hole.mixed, hole.noise]).toEqual([undefined, undefined, undefined]);
    await expect(flat.probe({ lines, recipe, x: 40, y: 0 }, context)).rejects.toThrow('outside');
  });
});

describe('marks', () => {
  it('tell what is below the range, at full strength, and without data', async () => {
    const service = createService();
    const ramp = await master(64, 48, (x, y) => (y === 47 && x < 9 ? Number.NaN : (x + 1) / 64));
    const fall = await master(64, 48, (x) => 1.5 - x / 64);
    await service.open({ id: 'h', name: 'h.fits', from: ramp });
    await service.open({ id: 'o', name: 'o.fits', from: fall });
    const at = (white: number) => ({ black: 0, white });
    const recipe: WrittenRecipe = {
      channels: ['H', 'O'],
      // Green is below 0 where O is more than H: in the left half.
      matrix: [
        [1, 0],
        [1, -1],
        [0, 1],
      ],
      balance: 'as-written',
      background: { model: 'none' },
      levels: { H: at(0.75), O: at(2) },
      stretch: { '*': { curve: 'linear' } },
    };
    const found = await service.marks({ lines: { H: 'h', O: 'o' }, recipe, longest: 64 }, context);
    expect([found.width, found.height]).toEqual([64, 48]);
    const row = [...found.marks.subarray(0, 64)];
    row.forEach((mark, x) => {
      const [h, o] = [Math.min(1, (x + 1) / 64 / 0.75), (1.5 - x / 64) / 2];
      expect(mark, `column ${x}`).toBe((h - o < -1e-6 ? MARKS.outside : 0) | (h >= 1 ? MARKS.full : 0));
    });
    expect([...found.marks.subarray(47 * 64, 47 * 64 + 9)]).toEqual(new Array(9).fill(MARKS.undefined));
    expect(found.share.undefined).toBe(9 / (64 * 48));
    const box = { x: 20, y: 4, width: 30, height: 2 };
    const part = await service.marks({ lines: { H: 'h', O: 'o' }, recipe, longest: 64, box }, context);
    expect([...part.marks.subarray(0, 30)]).toEqual(row.slice(20, 50));
  });
});
