import { openAsBlob } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { catalogueRecipe } from '../../lib/node/index.ts';
import { memorySink } from '../../lib/parts/index.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { createBench } from '../../lib/web/bench.ts';
import { openMaster } from '../../lib/web/open-master.ts';
import { probeOf } from '../../lib/web/probe.ts';
import { createService, type LineReport } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import { MARKS } from '../../lib/work/marks.ts';

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
      const { data } = await service.preview({ lines, recipe, box }, context);
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
    const answer = await service.probe({ lines, recipe, x: 420, y: 280, waits: true }, context);
    for (let b = 0; b < 3; b++)
      expect(answer.lines.reduce((sum, { brings }) => sum + brings[b]!, 0)).toBeCloseTo(answer.mixed![b]!, 12);
    const [s, h, o] = answer.lines;
    expect(s!.brings).toEqual([0, 0.25 * s!.strength, 0]);
    expect(h!.brings[0]).toBe(h!.strength);
    expect(o!.brings[1]).toBeCloseTo(0.75 * o!.strength, 12);
    expect(answer.noise!.every((v) => v > 0 && v < 0.2)).toBe(true);
  });

  it('tells what one pixel varies by on a nebula that leaves no sky, from the difference to its neighbours', async () => {
    const filled = createService();
    let state = 99;
    const uniform = () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return state / 2 ** 32;
    };
    // Twelve uniform numbers less 6 have a deviation of 1. The nebula rises by 3 in 1000 columns: a spread of hundreds.
    const noise = () => Array.from({ length: 12 }, uniform).reduce((a, b) => a + b, -6);
    const blob = await master(400, 300, (x, y) => 1000 + 3 * x + y + 4 * noise());
    await filled.open({ id: 'h', name: 'h.fits', from: blob });
    const recipe: WrittenRecipe = {
      channels: ['H'],
      matrix: [[1], [0.5], [0]],
      balance: 'as-written',
      background: { model: 'none' },
      levels: { H: { black: 0, white: 4000 } },
      stretch: { '*': { curve: 'linear' } },
    };
    const question = { lines: { H: 'h' }, recipe, x: 200, y: 150 };
    const [{ measured }] = (await filled.measure({ lines: { H: 'h' }, zeros: 'undefined' }, context)) as [LineReport];
    expect(measured.spread).toBeGreaterThan(100);
    const { noise: found } = await filled.probe({ ...question, waits: true }, context);
    expect(found![0]).toBeCloseTo(4 / 4000, 4);
    expect(found![1]).toBeCloseTo(2 / 4000, 4);
    expect(found![2]).toBe(0);
    // Once the lines were looked at, nobody has to wait.
    expect((await filled.probe(question, context)).noise).toEqual(found);
    expect((await filled.pixelNoise({ lines: { H: 'h' }, recipe }, context)).H).toBeCloseTo(4, 0);
  });

  it('tells the colour under laid stars, as it is shown', async () => {
    const starry = createService();
    const recipe = catalogueRecipe('hoo');
    const place = (x: number, y: number) => Math.exp(-((x - 30) ** 2 + (y - 20) ** 2) / 40);
    for (const [id, factor] of [
      ['h', 50],
      ['o', 20],
    ] as const)
      await starry.open({ id, name: id, from: await master(60, 40, (x, y) => 10 + factor * place(x, y) + (x % 3)) });
    const star = await master(60, 40, (x, y) => (x === 31 && y === 21 ? 900 : (x * 7 + y * 3) % 5));
    await starry.openStars({ files: [{ name: 'star.fits', blob: star }] });
    const mix = { lines: { H: 'h', O: 'o' }, recipe };
    for (const [x, y] of [
      [31, 21],
      [5, 30],
    ] as const) {
      const { colour } = await starry.probe({ ...mix, x, y, stars: true }, context);
      const box = { x, y, width: 1, height: 1 };
      const { data } = await starry.preview({ ...mix, box, stars: true }, context);
      for (let b = 0; b < 3; b++) expect(Math.round(colour!.rgb[b]! * 255)).toBe(data[b]);
    }
    const [under, alone] = [true, false].map((stars) => starry.probe({ ...mix, x: 31, y: 21, stars }, context));
    expect((await under!).colour!.oklch[0]).toBeGreaterThan((await alone!).colour!.oklch[0]);
  });

  it.each([
    [60, 41],
    [59, 40],
  ])('leaves out stars of %d × %d on masters of 60 × 40', async (width, height) => {
    const starry = createService();
    const value = (x: number, y: number) => 100 + ((7 * x + 3 * y) % 11);
    await starry.open({ id: 'h', name: 'h.fits', from: await master(60, 40, value) });
    await starry.openStars({ files: [{ name: 'star.fits', blob: await master(width, height, value) }] });
    const question = { lines: { H: 'h' }, recipe: { channels: ['H'], matrix: [[1], [1], [1]] }, x: 31, y: 21 };
    const { colour } = await starry.probe({ ...question, stars: true }, context);
    expect(colour).toEqual((await starry.probe(question, context)).colour);
  });

  it('tells the same pixel in other mixes', async () => {
    const recipe = catalogueRecipe('ember');
    const others = [
      { id: 'hoo', recipe: catalogueRecipe('hoo') },
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
    for (const [x, y] of [
      [40, 0],
      [-1, 0],
      [0, 30],
      [0, -1],
    ] as const)
      await expect(flat.probe({ lines, recipe, x, y }, context)).rejects.toThrow('outside');
  });
});

describe('the noise of a probed pixel', () => {
  const bench = createBench();
  const recipe: WrittenRecipe = { channels: ['H'], matrix: [[1], [1], [1]] };
  const question = { lines: { H: 'h' }, recipe, x: 3, y: 4 };
  const lines = bench.lines(question.lines);
  beforeAll(async () => {
    bench.add(await openMaster('h', 'h.fits', await master(40, 30, (x, y) => 100 + ((7 * x + 3 * y) % 11))));
  });
  const late = () => new Promise<{ H: number }>((resolve) => setTimeout(resolve, 150, { H: 1 }));

  it('is waited for only where that is asked for', async () => {
    expect((await probeOf(lines, question, { noise: late }, context)).noise).toBeUndefined();
    const patient = await probeOf(lines, { ...question, waits: true }, { noise: late }, context);
    expect(patient.noise!.every((n) => n > 0)).toBe(true);
  });

  it('is told at once where it is known, and left out where it cannot be found', async () => {
    const known = { noise: async () => ({ H: 1 }) };
    expect((await probeOf(lines, question, known, context)).noise!.every((n) => n > 0)).toBe(true);
    const unknown = { noise: async () => undefined };
    expect((await probeOf(lines, { ...question, waits: true }, unknown, context)).noise).toBeUndefined();
  });
});

describe('marks', () => {
  it('tell what is below the range, at full strength, black, and without data', async () => {
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
    // The same masters, of which the left half of H has no light: both colours that it has are black there.
    const dark = { ...recipe, levels: { H: { black: 0.5, white: 1 }, O: at(2) } };
    const rows = [
      [1, 0],
      [1, 0],
      [0, 0],
    ];
    const half = await service.marks(
      { lines: { H: 'h', O: 'o' }, recipe: { ...dark, matrix: rows }, longest: 64 },
      context,
    );
    expect([...half.marks.subarray(0, 64)]).toEqual(
      Array.from({ length: 64 }, (_, x) => ((x + 1) / 64 <= 0.5 ? MARKS.black : x === 63 ? MARKS.full : 0)),
    );
    expect(half.share.black).toBe((32 * 48 - 9) / (64 * 48));
    const box = { x: 20, y: 4, width: 30, height: 2 };
    const part = await service.marks({ lines: { H: 'h', O: 'o' }, recipe, box }, context);
    expect([...part.marks.subarray(0, 30)]).toEqual(row.slice(20, 50));
  });
});
