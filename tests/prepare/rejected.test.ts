import { expect, it } from 'vitest';
import { createMask, mark } from '../../lib/plane/mask.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { combined, type Part } from '../../lib/prepare/combine.ts';
import { rejectedReader } from '../../lib/prepare/rejected.ts';
import { readRejected, rejectedMasks } from '../../lib/work/rejected.ts';

const [WIDTH, HEIGHT] = [37, 23];
const SIZE = WIDTH * HEIGHT;

/** Parts with values, holes and outliers anywhere, by a seed. */
const drawnParts = (count: number, seed: number): Part[] => {
  let state = seed;
  const random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  return Array.from({ length: count }, (_, p): Part => {
    const data = Float32Array.from({ length: SIZE }, () => (random() < 0.2 ? Number.NaN : 100 * random()));
    const mask = createMask(WIDTH, HEIGHT);
    for (let i = 0; i < SIZE; i++) if (random() < 0.25) mark(mask, i % WIDTH, Math.floor(i / WIDTH));
    const source = planeSource(`${p}.fits`, { width: WIDTH, height: HEIGHT, data });
    const numbers = { scale: 1 + 0.3 * p, offset: 3 * p, weight: 1 / count };
    // One that has no outliers at all.
    return p === 2 ? { source, ...numbers } : { source, ...numbers, outliers: { mask } };
  });
};
const valuesOf = async (parts: readonly Part[]) => {
  const into = new Float64Array(SIZE);
  await combined(parts).readRows(0, HEIGHT, into);
  return into;
};

it.each([2, 3, 4])('names exactly the pixels whose value in the mean does without a master, of %d', async (count) => {
  const parts = drawnParts(count, count);
  const mean = await valuesOf(parts);
  const left = new Map<number, number[]>();
  await rejectedReader(parts)(0, HEIGHT, (index, part) => left.set(index, [...(left.get(index) ?? []), part]));
  const planes = await Promise.all(parts.map((part) => valuesOf([{ ...part, weight: 1, outliers: undefined }])));
  let rejected = 0;
  for (let i = 0; i < SIZE; i++) {
    const out = left.get(i) ?? [];
    const over = (chosen: readonly number[]) => chosen.reduce((sum, p) => sum + planes[p]![i]!, 0) / chosen.length;
    const defined = parts.map((_, p) => p).filter((p) => !Number.isNaN(planes[p]![i]!));
    expect(out.every((p) => defined.includes(p))).toBe(true);
    const used = defined.filter((p) => !out.includes(p));
    // All weights are equal: the mean over the others is that of the combination, and that over all is not.
    if (defined.length === 0) expect(mean[i]).toBeNaN();
    else expect(mean[i]).toBeCloseTo(over(used), 9);
    if (out.length === 0) continue;
    rejected++;
    expect(Math.abs(mean[i]! - over(defined))).toBeGreaterThan(1e-9);
  }
  expect(rejected).toBeGreaterThan(100);
});

it('finds the same in any part of the frame, and counts it', async () => {
  const lines = [
    { line: 'H', parts: drawnParts(2, 5) },
    { line: 'O', parts: drawnParts(3, 6) },
  ];
  const whole = await rejectedMasks(lines);
  expect(whole.map(({ line, file }) => line + file)).toEqual(['H0.fits', 'H1.fits', 'O0.fits', 'O1.fits', 'O2.fits']);
  const has = (k: number, x: number, y: number) => {
    const { mask } = whole[k]!;
    return (mask.bits[y * mask.stride + (x >> 3)]! >> (x & 7)) & 1;
  };
  for (const [k, { pixels, mask }] of whole.entries()) {
    let count = 0;
    for (let i = 0; i < SIZE; i++) count += has(k, i % WIDTH, Math.floor(i / WIDTH));
    expect(pixels).toBe(count);
    expect(mask).toMatchObject({ width: WIDTH, height: HEIGHT });
  }
  // The part without outliers loses nothing.
  expect(whole.map(({ pixels }) => pixels > 0)).toEqual([true, true, true, true, false]);
  const box = { x: 5, y: 3, width: 20, height: 11 };
  const seen = new Set<string>();
  const counts = await readRejected(lines, box, ({ y, each }) =>
    each(
      (index, k) => void seen.add(`${k} ${box.x + (index % box.width)} ${box.y + y + Math.floor(index / box.width)}`),
    ),
  );
  const wanted = new Set<string>();
  for (const k of whole.keys())
    for (let y = box.y; y < box.y + box.height; y++)
      for (let x = box.x; x < box.x + box.width; x++) if (has(k, x, y)) wanted.add(`${k} ${x} ${y}`);
  expect(seen).toEqual(wanted);
  expect(counts.reduce((sum, { pixels }) => sum + pixels, 0)).toBe(wanted.size);
});

it('goes on below the first band', async () => {
  const [width, height] = [64, 9000];
  const mask = createMask(width, height);
  for (const y of [0, 8191, 8192, 8999]) mark(mask, y % width, y);
  const source = planeSource('tall.fits', { width, height, data: new Float32Array(width * height) });
  const part = { source, scale: 1, offset: 0, weight: 0.5 };
  const [first, second] = await rejectedMasks([{ line: 'O', parts: [{ ...part, outliers: { mask } }, part] }]);
  expect([first!.pixels, second!.pixels]).toEqual([4, 0]);
  expect(first!.mask).toEqual(mask);
});

it('reads nothing where nothing was marked, and can be stopped', async () => {
  const clean = drawnParts(2, 7).map(({ outliers: _, ...part }) => ({
    ...part,
    source: { ...part.source, readRows: () => Promise.reject(new Error('read')) },
  }));
  expect(await rejectedMasks([{ line: 'H', parts: clean }])).toMatchObject([{ pixels: 0 }, { pixels: 0 }]);
  const stopped = rejectedMasks([{ line: 'H', parts: drawnParts(2, 7) }], { signal: AbortSignal.abort() });
  await expect(stopped).rejects.toMatchObject({ tag: 'cancelled' });
});
