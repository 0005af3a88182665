import { openAsBlob } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { catalogueRecipe } from '../../lib/node/index.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { unpackStars } from '../../lib/stars/star-list.ts';
import { createBench } from '../../lib/web/bench.ts';
import { openMaster } from '../../lib/web/open-master.ts';
import { previewOf } from '../../lib/web/preview.ts';
import { starListOf } from '../../lib/web/star-list.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import { masterName } from '../../samples/scene/index.ts';

const context: CallContext = { signal: new AbortController().signal, progress: () => {} };
const lines = { S: 's', H: 'h', O: 'o' };
const plain = catalogueRecipe('sho');
const recipe = (stars: WrittenRecipe['stars']): WrittenRecipe => ({ ...plain, stars: { from: 'masters', ...stars } });
const box = { x: 200, y: 100, width: 120, height: 90 };

/** Rows read of the masters at full size. */
const reads = { rows: 0 };
const counted = (source: PlaneSource): PlaneSource => ({
  ...source,
  readRows(y, rows, into) {
    reads.rows += rows;
    return source.readRows(y, rows, into);
  },
});

/** A bench with the small samples. */
const openBench = async () => {
  const bench = createBench();
  for (const [line, id] of Object.entries(lines)) {
    const blob = await openAsBlob(`${process.env.LINEWASH_SMALL_MASTERS}/${masterName(line as 'S')}`);
    const master = await openMaster(id, `${line}.fits`, blob);
    bench.add({ ...master, source: async (zeros, options) => counted(await master.source(zeros, options)) });
  }
  const preview = (of: WrittenRecipe, more: object = { longest: 200 }) =>
    previewOf(bench.lines(lines), { lines, recipe: of, longest: 200, ...more }, undefined, context);
  return { bench, preview };
};

describe('the stars of the masters on the page', () => {
  let open: Awaited<ReturnType<typeof openBench>>;
  beforeAll(async () => {
    open = await openBench();
  });

  it('are found and taken out once, however the sliders move', async () => {
    const { bench, preview } = open;
    const first = await preview(recipe({ neutral: 0.3 }));
    expect(reads.rows).toBeGreaterThan(0);
    expect(first.settled.ownStars).toMatchObject({ neutral: 0.3, size: 1, count: expect.any(Number) });
    expect(first.settled.ownStars).not.toHaveProperty('list');
    reads.rows = 0;
    const seen = new Set([first.data.join()]);
    for (const stars of [{ neutral: 0.9 }, { neutral: 0, size: 0.5 }, { size: 0 }, { tint: '#ff8000' }])
      seen.add((await preview(recipe(stars))).data.join());
    await preview(plain, { mask: true });
    await starListOf(bench.lines(lines), { lines, recipe: plain }, context);
    expect(reads.rows).toBe(0);
    expect(seen.size).toBe(5);
    await preview(recipe({ radius: 20 }));
    expect(reads.rows).toBeGreaterThan(0);
  });

  it('are listed with the most prominent first, each in its place', async () => {
    const found = await starListOf(open.bench.lines(lines), { lines, recipe: plain }, context);
    const { settled } = await open.bench.lines(lines).settle(recipe({}) as never);
    const list = unpackStars(settled.ownStars!.list!)!;
    expect(found.count).toBeGreaterThan(20);
    expect([...found.snr]).toEqual([...list.snr].sort((a, b) => b - a));
    const rows = ({ x, y, snr }: typeof list, peaks: readonly Float32Array[]) =>
      [...x.keys()].map((i) => [x[i], y[i], snr[i], ...peaks.map((peak) => peak[i])].join()).sort();
    const peaks = found.lines.map((line) => line.peaks);
    expect(rows({ ...list, ...found, lines: [] }, peaks)).toEqual(rows(list, list.peaks));
    expect(found.lines.map(({ name }) => name)).toEqual(['S', 'H', 'O']);
    for (const { fwhm, flattening } of found.lines) {
      expect(fwhm).toBeGreaterThan(1);
      expect(fwhm).toBeLessThan(8);
      expect(flattening).toBeLessThan(0.2);
    }
  });

  it('have a mask, white where a star is; a part of it is cut from the whole', async () => {
    const { x, y } = await starListOf(open.bench.lines(lines), { lines, recipe: plain }, context);
    const whole = await open.preview(plain, { longest: 480, mask: true });
    const part = await open.preview(plain, { box, longest: undefined, mask: true });
    const at = (column: number, row: number) => whole.data.subarray(4 * (row * whole.width + column)).slice(0, 4);
    expect([...at(Math.round(x[0]!), Math.round(y[0]!))]).toEqual([255, 255, 255, 255]);
    let none = 0;
    for (let row = 0; row < box.height; row++)
      for (let column = 0; column < box.width; column++) {
        const pixel = part.data.slice(4 * (row * box.width + column)).slice(0, 4);
        if (pixel[0] === 0) none++;
        if (pixel.join() !== at(box.x + column, box.y + row).join()) expect.fail(`differs at ${column}, ${row}`);
      }
    expect(none).toBeGreaterThan((box.width * box.height) / 4);
  });
});
