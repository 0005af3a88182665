import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { canCountFast } from '../../lib/measure/count-kernel.ts';
import { jsCounter } from '../../lib/measure/js-counter.ts';
import { measureChannels } from '../../lib/measure/measure.ts';
import { createOrderIndex, refineBins, wantedBins } from '../../lib/measure/order-index.ts';
import { percentile } from '../../lib/measure/statistics.ts';
import type { Measured } from '../../lib/plane/measured.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import { randomNumbers } from '../parity/settled-cases.ts';
import { hasModules, PYTHON } from '../tools/python.ts';

const measure = async (values: ArrayLike<number>, width = values.length): Promise<Measured> => {
  const plane = { width, height: values.length / width, data: Float32Array.from(values) };
  return (await measureChannels([{ name: 'S', source: planeSource('s', plane) }]))[0]!;
};

/** The same numbers by sorting, as textbooks define them. */
const bySorting = (values: ArrayLike<number>) => {
  const sorted = Float64Array.from(Float32Array.from(values)).filter(Number.isFinite).sort();
  const at = (p: number) => {
    const rank = ((sorted.length - 1) * p) / 100;
    const low = sorted[Math.floor(rank)]!;
    return low + (rank - Math.floor(rank)) * ((sorted[Math.floor(rank) + 1] ?? low) - low);
  };
  const median = at(50);
  const deviations = sorted.map((v) => Math.abs(v - median)).sort();
  const middle = (deviations.length - 1) / 2;
  const mad = (deviations[Math.floor(middle)]! + deviations[Math.ceil(middle)]!) / 2;
  return { at, median, mad };
};

const normal = (random: () => number): number =>
  Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());

const sky = (count: number, seed: number, level: number, noise: number): Float32Array => {
  const random = randomNumbers(seed);
  return Float32Array.from({ length: count }, () => level + noise * normal(random) + (random() < 0.01 ? random() : 0));
};

describe('statistics', () => {
  it('count in WebAssembly here', () => expect(canCountFast()).toBe(true));

  it.each([
    ['odd count', sky(9999, 1, 0.01, 0.001)],
    ['even count', sky(10000, 2, 0.01, 0.001)],
    ['negative', sky(5000, 3, -3, 2)],
    ['around zero', sky(5001, 4, 0, 1e-4)],
    ['large pedestal', sky(5001, 5, 40000, 12)],
    ['missing values', sky(5001, 6, 1, 1).map((v, i) => (i % 7 ? v : [Number.NaN, Number.POSITIVE_INFINITY][i % 2]!))],
    ['few values', [3, 1, 2]],
    ['one value', [-0]],
    ['numbers without full precision', [1e-42, 2e-42, 5e-42, -1e-42, 0]],
  ])('are those of the sorted values: %s', async (_name, values) => {
    const m = await measure(values);
    const s = bySorting(values);
    expect(m.median).toBe(s.median);
    expect(m.min).toBe(s.at(0));
    expect(m.max).toBe(s.at(100));
    expect(Math.abs(m.madSpread / 1.482602218505602 - s.mad)).toBeLessThanOrEqual(1e-12 * Math.abs(s.median) + 1e-15);
    for (const [p, value] of Object.entries(m.percentiles))
      expect(Math.abs(value - s.at(Number(p)))).toBeLessThanOrEqual(1e-12 * Math.abs(value));
  });

  it('do not depend on how rows are read', async () => {
    const values = sky(12000, 7, 0.02, 0.003);
    const { width: _w, height: _h, ...tall } = await measure(values, 10);
    const { width, height, ...wide } = await measure(values, 6000);
    expect([width, height]).toEqual([6000, 2]);
    expect(wide).toEqual(tall);
  });

  it('keep float64 on a pedestal', async () => {
    const values = Float64Array.from(sky(4001, 8, 0, 1), (v) => 1e9 + v);
    const source: PlaneSource = {
      ...planeSource('s', { width: 4001, height: 1, data: new Float32Array(4001) }),
      type: 'f64',
      async readRows(_y, _rows, into) {
        into.set(values);
      },
    };
    const m = (await measureChannels([{ name: 'S', source }]))[0]!;
    const sorted = values.slice().sort();
    expect(Math.abs(m.median - sorted[2000]!)).toBeLessThanOrEqual(1e-6);
  });

  it('are the same without WebAssembly', async () => {
    const values = sky(3001, 9, 0.5, 0.1);
    const first = jsCounter(0, []);
    first.count(values);
    const index = createOrderIndex(first.upper(), 0.5);
    percentile(index, 50);
    const bins = wantedBins(index);
    const second = jsCounter(0, bins);
    second.refine(values);
    refineBins(index, bins, second.lower());
    expect(percentile(index, 50)).toBe((await measure(values)).median);
  });
});

const hasAstropy = hasModules('astropy', 'numpy');
const folder = mkdtempSync(join(tmpdir(), 'linewash-statistics-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const SCRIPT = `
import json, sys, numpy as np
from astropy.stats import sigma_clip
a = np.fromfile(sys.argv[1], '<f4').astype('f8')
c = sigma_clip(a, sigma=3, maxiters=10, masked=False)
print(json.dumps([float(np.median(a)), float(np.median(c)), float(np.std(c)), float(np.percentile(a, 99.9))]))
`;

describe.skipIf(!hasAstropy)('statistics against numpy and astropy', () => {
  it.each([1, 2, 3])('scene %i', async (seed) => {
    const values = sky(40000, 30 + seed, 0.01 * seed, 0.002);
    const file = join(folder, `${seed}.bin`);
    writeFileSync(file, values);
    const { stdout } = spawnSync(PYTHON, ['-c', SCRIPT, file], { encoding: 'utf8' });
    const [median, level, noise, bright] = JSON.parse(stdout);
    const m = await measure(values);
    expect(m.median).toBeCloseTo(median, 12);
    expect(m.level).toBeCloseTo(level, 12);
    expect(m.spread).toBeCloseTo(noise, 9);
    expect(m.percentiles['99.9']).toBeCloseTo(bright, 12);
  });
});
