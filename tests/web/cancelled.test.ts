import { describe, expect, it, vi } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { catalogueRecipe } from '../../lib/index.ts';
import { memorySink } from '../../lib/parts/index.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import { randomFrom } from '../colour/random.ts';

const [WIDTH, HEIGHT] = [96, 80];
const recipe = catalogueRecipe('hoo');
const lines = { H: 'h', O: 'o' };
const box = { x: 10, y: 12, width: 20, height: 16 };

/** Rows read of the masters of the service at hand: another may still be at work for a call that was answered. */
const reads = vi.hoisted(() => ({ own: { rows: 0 } }));
vi.mock('../../lib/web/bytes/open-source.ts', async (original) => {
  const { openSource } = await original<typeof import('../../lib/web/bytes/open-source.ts')>();
  const watched: typeof openSource = async (name, blob) => {
    const { own } = reads;
    const source = await openSource(name, blob);
    return {
      ...source,
      readRows(y, rows, into) {
        own.rows += rows;
        return source.readRows(y, rows, into);
      },
    };
  };
  return { openSource: watched };
});

const master = async (seed: number): Promise<Blob> => {
  const sink = memorySink();
  const writer = writeMono(sink, { width: WIDTH, height: HEIGHT, type: 'f32', cards: [] });
  const random = randomFrom(seed);
  await writer.writeRows(Float32Array.from({ length: WIDTH * HEIGHT }, (_, i) => 100 + 17 * random() + (i % WIDTH)));
  await writer.finish();
  return new Blob([sink.bytes()]);
};

/** A service with masters of one size, and stars. */
const opened = async () => {
  reads.own = { rows: 0 };
  const service = createService();
  for (const [i, id] of ['h', 'o', 'o2'].entries())
    await service.open({ id, name: `${id}.fits`, from: await master(5 + 2 * i) });
  await service.openStars({ files: [{ name: 'stars.fits', blob: await master(13) }] });
  reads.own.rows = 0;
  return service;
};

type Service = Awaited<ReturnType<typeof opened>>;
const mix = { lines, recipe };
const sheet = { lines, recipes: [{ caption: 'HOO', recipe }], file: 'wall.png', size: 40 };
const starry = { lines, recipe: { ...recipe, stars: { from: 'masters' as const } } };
const background = { model: 'surface', order: 1 } as const;

const CALLS: Readonly<Record<string, (service: Service, context: CallContext) => Promise<unknown>>> = {
  measure: (s, c) => s.measure({ lines, zeros: 'undefined' }, c),
  preview: (s, c) => s.preview({ ...mix, longest: 40 }, c),
  'preview of a box': (s, c) => s.preview({ ...mix, box }, c),
  probe: (s, c) => s.probe({ ...mix, x: 3, y: 4 }, c),
  pixelNoise: (s, c) => s.pixelNoise(mix, c),
  marks: (s, c) => s.marks({ ...mix, longest: 40 }, c),
  'marks in a box': (s, c) => s.marks({ ...mix, box }, c),
  suggest: (s, c) => s.suggest({ lines }, c),
  weak: (s, c) => s.weak({ lines }, c),
  'preview with stars': (s, c) => s.preview({ ...mix, longest: 40, stars: true }, c),
  'preview of a box with stars': (s, c) => s.preview({ ...mix, box, stars: true }, c),
  'preview of changed stars': (s, c) => s.preview({ ...starry, longest: 40 }, c),
  stars: (s, c) => s.stars(mix, c),
  sheet: (s, c) => s.sheet(sheet, c),
  'sheet with stars': (s, c) => s.sheet({ ...sheet, stars: true }, c),
  'sheet, cropped': (s, c) => s.sheet({ ...sheet, crop: true }, c),
  combinations: (s, c) => s.combinations({ lines: { O: 'o+o2' } }, c),
  rejected: (s, c) => s.rejected({ lines: { O: 'o+o2' } }, c),
  cover: (s, c) => s.cover(mix, c),
  surface: (s, c) => s.surface({ lines, line: 'H', zeros: 'undefined', background }, c),
  fit: (s, c) => s.fit({ lines }, c),
  hours: (s, c) => s.hours({ ...mix, goal: 'luminance', more: 10, until: 30 }, c),
  outlook: (s, c) => s.outlook({ ...mix, part: box, added: { O: 5 } }, c),
  export: (s, c) => s.export({ ...mix, file: 'a.tif', sample: 'u16' }, c),
};

const cancelled: CallContext = { signal: AbortSignal.abort(), progress: () => {} };
const quiet: CallContext = { signal: new AbortController().signal, progress: () => {} };

/** Told of from what is known, or from one row. */
const AT_ONCE = ['probe', 'cover'];

describe('a call that is cancelled', () => {
  it.each(Object.entries(CALLS))('reads nothing and answers so, and can be made again: %s', async (_name, call) => {
    const service = await opened();
    await expect(call(service, cancelled)).rejects.toMatchObject({ tag: 'cancelled' });
    expect(reads.own.rows).toBe(0);
    await expect(call(service, quiet)).resolves.toBeDefined();
    expect(reads.own.rows).toBeGreaterThan(0);
  });

  const slow = Object.entries(CALLS).filter(([name]) => !AT_ONCE.includes(name));
  it.each(slow)('stops as well where the mix was settled before: %s', async (_name, call) => {
    const service = await opened();
    await service.preview({ ...mix, longest: 64 }, quiet);
    reads.own.rows = 0;
    await expect(call(service, cancelled)).rejects.toMatchObject({ tag: 'cancelled' });
    expect(reads.own.rows).toBe(0);
  });
});
