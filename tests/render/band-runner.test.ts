import { describe, expect, it } from 'vitest';
import { cropped } from '../../lib/plane/cropped.ts';
import { fromFile } from '../../lib/plane/from-file.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { FilePicture } from '../../lib/plane/origin.ts';
import type { OutputRows } from '../../lib/plane/picture.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { createBandRunner } from '../../lib/render/band-runner.ts';
import { originOpener } from '../../lib/render/open-origin.ts';
import { reachOf } from '../../lib/render/origin-reach.ts';
import { bandRows } from '../../lib/render/picture.ts';
import { smoothedMembers } from '../../lib/smooth/smoothed-lines.ts';
import { inLight, randomNumbers, settledFor } from '../parity/settled-cases.ts';
import { drawSmoothing, drawSource } from './draw-source.ts';

const WIDTH = 53;
const HEIGHT = 41;
const files = new Map<string, PlaneSource>();

/** A master in memory that can be opened again by its name. */
const master = (name: string, seed: number): PlaneSource => {
  const next = randomNumbers(seed);
  const data = Float32Array.from({ length: WIDTH * HEIGHT }, () => (next() < 0.03 ? Number.NaN : 1.2 * next() - 0.1));
  const plain = planeSource(name, { width: WIDTH, height: HEIGHT, data });
  files.set(name, plain);
  return fromFile(plain, { file: name, at: name, selector: {} });
};

const open = async ({ at }: FilePicture): Promise<PlaneSource> => files.get(at as string)!;

/** Rows are gathered from bands that are computed in any order. */
const paint = async (settled: Settled, sources: readonly PlaneSource[], heights: readonly number[], order: 1 | -1) => {
  const form = { sample: 'u16', bands: 4 } as const;
  const inputs = sources.map((source) => ({ source }));
  const { width } = sources[0]!;
  const runner = await createBandRunner({ settled, form, width, rows: Math.max(...heights), inputs });
  const starts = heights.map((_, i) => heights.slice(0, i).reduce((a, b) => a + b, 0));
  const bands: OutputRows[] = [];
  const places = order === 1 ? [...starts.keys()] : [...starts.keys()].reverse();
  for (const i of places) bands[i] = (await runner.run(starts[i]!, heights[i]!)).slice();
  runner.close();
  return bands.flatMap((band) => [...band]);
};

/** A height cut into pieces at random. */
const cut = (next: () => number, height: number): number[] => {
  const heights: number[] = [];
  for (let left = height; left > 0; ) {
    const rows = Math.min(left, 1 + Math.floor(12 * next()));
    heights.push(rows);
    left -= rows;
  }
  return heights;
};

const curve = { curve: 'bias', a: Math.fround(0.8) } as const;

describe('bands of a picture', () => {
  it('have the same bytes however the picture is cut, from sources and from their origins', async () => {
    let reaching = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const next = randomNumbers(seed);
      const whole = ['S', 'H', 'O'].map((name) =>
        drawSource(next, 1 + Math.floor(3 * next()), `${seed}${name}`, (file) =>
          master(file, 1 + Math.floor(1e6 * next())),
        ),
      );
      const box = { x: 3, y: 5, width: 40, height: 30 };
      const lines = next() < 0.5 ? smoothedMembers(whole, drawSmoothing(next, 3, [0, 1])) : whole;
      const sources = next() < 0.3 ? lines.map((source) => cropped(source, box)) : lines;
      const settled = next() < 0.5 ? settledFor(curve) : inLight(curve);
      reaching += sources.filter(({ origin }) => reachOf(origin) > 0).length;
      const { height } = sources[0]!;
      const expected = await paint(settled, sources, [height], 1);
      expect(new Set(expected).size).toBeGreaterThan(100);
      const again = await Promise.all(structuredClone(sources.map(({ origin }) => origin!)).map(originOpener(open)));
      expect(await paint(settled, again, cut(next, height), 1)).toEqual(expected);
      expect(await paint(settled, again, cut(next, height), -1)).toEqual(expected);
    }
    expect(reaching).toBeGreaterThan(20);
  });

  it('are high where rows beyond them are read again, or are decoded together', () => {
    const source = master('reach', 3);
    const usual = bandRows(50_000, [source]);
    expect(usual).toBe(2);
    const smooth = (scales: number) =>
      smoothedMembers([source, source], { ...drawSmoothing(() => 0.5, 2, [0]), scales })[0]!;
    expect(bandRows(5000, [smooth(4)])).toBe(8 * 49);
    // Never more than 4 million pixels, but for the reach itself.
    expect(bandRows(50_000, [smooth(4)])).toBe(83);
    expect(bandRows(50_000, [smooth(6)])).toBe(205);
    expect(bandRows(50_000, [{ ...source, rowsTogether: 5 }])).toBe(5);
    expect(bandRows(50_000, [{ ...source, rowsTogether: 1000 }])).toBe(usual);
    expect(bandRows(50_000, [{ ...source, rowsTogether: Number.POSITIVE_INFINITY }])).toBe(usual);
  });
});
