import { describe, expect, it } from 'vitest';
import { cropped } from '../../../lib/plane/cropped.ts';
import type { Measured } from '../../../lib/plane/measured.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { blobSink } from '../../../lib/web/bytes/blob-sink.ts';
import { blobSource } from '../../../lib/web/bytes/blob-source.ts';
import { handleSink } from '../../../lib/web/bytes/handle-sink.ts';
import { axisOf, histogramOf, valueAt } from '../../../lib/web/histogram.ts';

const bytesOf = async (blob: Blob) => [...new Uint8Array(await blob.arrayBuffer())];

describe('blobSource', () => {
  const source = blobSource('a.bin', new Blob([Uint8Array.of(1, 2, 3, 4, 5)]));

  it('reads any part', async () => {
    expect([source.name, source.size]).toEqual(['a.bin', 5]);
    expect([...(await source.read(1, 3))]).toEqual([2, 3, 4]);
    expect((await source.read(5, 0)).length).toBe(0);
  });

  it('refuses what lies outside', async () => {
    await expect(source.read(3, 3)).rejects.toMatchObject({ tag: 'format', file: 'a.bin' });
    await expect(source.read(-1, 2)).rejects.toMatchObject({ tag: 'format' });
  });

  it('says so where the file can no longer be read', async () => {
    const gone = { size: 5, slice: () => ({ arrayBuffer: () => Promise.reject(new Error('gone')) }) };
    const source = blobSource('a.bin', gone as unknown as Blob);
    await expect(source.read(0, 5)).rejects.toMatchObject({ tag: 'format', advice: 'open it again' });
  });
});

describe('blobSource in a large file', () => {
  const MIB = 1 << 20;
  const SIZE = 29 * MIB + 1000;
  /** A file whose byte at each whole MiB is the number of the MiB, else 0, and what was asked of it. */
  const large = () => {
    const asked: [number, number][] = [];
    const slice = (from: number, to: number) => {
      // As a Blob has it: from the end where below zero, never beyond it.
      const [start, end] = [from, to].map((at) => Math.min(SIZE, at < 0 ? Math.max(0, SIZE + at) : at)) as [
        number,
        number,
      ];
      asked.push([start, end]);
      const bytes = new Uint8Array(Math.max(0, end - start));
      for (let k = Math.ceil(start / MIB); k * MIB < end; k++) bytes[k * MIB - start] = k;
      return { arrayBuffer: async () => bytes.buffer };
    };
    return { asked, source: blobSource('a.fits', { size: SIZE, slice } as unknown as Blob) };
  };
  const STEP = MIB / 2;
  const offsets = Array.from({ length: 58 }, (_, i) => i * STEP);

  it('has the same bytes forward, backward and here and there', async () => {
    const { source } = large();
    const jumps = offsets.map((_, i) => offsets[(i * 23) % offsets.length]!);
    for (const order of [offsets, offsets.toReversed(), jumps])
      for (const offset of order) {
        const bytes = await source.read(offset, STEP);
        expect(bytes.length).toBe(STEP);
        expect([offset, bytes[0]]).toEqual([offset, offset % MIB === 0 ? offset / MIB : 0]);
      }
    expect([...(await source.read(SIZE - 1001, 3))]).toEqual([0, 29, 0]);
  });

  it('is fetched in few pieces where it is read step by step, each byte about once', async () => {
    for (const order of [offsets, offsets.toReversed()]) {
      const { source, asked } = large();
      for (const offset of order) await source.read(offset, STEP);
      expect(asked.length).toBeLessThan(8);
      expect(Math.max(...asked.map(([from, to]) => to - from))).toBeLessThanOrEqual(8 * MIB);
      expect(asked.reduce((sum, [from, to]) => sum + to - from, 0)).toBeLessThan(SIZE + 2 * STEP);
    }
  });

  it('is fetched by no more than is asked for where it is read here and there', async () => {
    const { source, asked } = large();
    for (const offset of [3, 20, 9, 14]) await source.read(offset * MIB, 10);
    expect(asked).toEqual([3, 20, 9, 14].map((at) => [at * MIB, at * MIB + 10]));
  });

  it('gives each of several readers its own bytes, whoever is answered first', async () => {
    const { source } = large();
    const all = await Promise.all([5, 6, 2, 28].map((at) => source.read(at * MIB, STEP)));
    expect(all.map((bytes) => bytes[0])).toEqual([5, 6, 2, 28]);
  });
});

describe('blobSink', () => {
  it('joins pieces written in any order', async () => {
    const sink = blobSink('image/png');
    const reused = Uint8Array.of(3, 4);
    await sink.writeAt(2, reused);
    reused.fill(9);
    await sink.writeAt(0, Uint8Array.of(1, 2));
    await sink.close();
    expect(sink.blob().type).toBe('image/png');
    expect(await bytesOf(sink.blob())).toEqual([1, 2, 3, 4]);
  });

  it('finds gaps and overlaps', async () => {
    for (const offset of [1, 3]) {
      const sink = blobSink('');
      await sink.writeAt(0, Uint8Array.of(1, 2));
      await sink.writeAt(offset, Uint8Array.of(3));
      await expect(sink.close()).rejects.toThrow(RangeError);
    }
  });

  it('keeps nothing after an abort', async () => {
    const sink = blobSink('');
    await sink.writeAt(0, Uint8Array.of(1));
    await sink.abort();
    await sink.close();
    expect(sink.blob().size).toBe(0);
  });
});

describe('handleSink', () => {
  it('turns what the browser refuses into an error with advice', async () => {
    const stream = {
      write: () => Promise.reject(new Error('quota exceeded')),
      close: async () => {},
      abort: () => Promise.reject(new Error('closed')),
    };
    const sink = await handleSink({ name: 'a.tif', createWritable: async () => stream });
    await expect(sink.writeAt(0, Uint8Array.of(1))).rejects.toMatchObject({ tag: 'output', file: 'a.tif' });
    await sink.abort();
  });
});

describe('crop', () => {
  const data = Float32Array.from({ length: 12 }, (_, i) => i);
  const whole = planeSource('a', { width: 4, height: 3, data });

  it('is the box of the picture, whichever rows are asked for', async () => {
    const part = cropped(whole, { x: 1, y: 1, width: 2, height: 2 });
    const into = new Float32Array(4);
    await part.readRows(0, 2, into);
    expect([part.width, part.height, ...into]).toEqual([2, 2, 5, 6, 9, 10]);
    await part.readRows(1, 1, into);
    expect([...into.subarray(0, 2)]).toEqual([9, 10]);
  });

  it('takes whole rows as they are', async () => {
    const into = new Float32Array(8);
    await cropped(whole, { x: 0, y: 1, width: 4, height: 2 }).readRows(0, 2, into);
    expect([...into]).toEqual([4, 5, 6, 7, 8, 9, 10, 11]);
  });
});

describe('histogramOf', () => {
  const measured = { level: 100, spread: 10, min: 70, max: 1000, percentiles: { '0.05': 70 } } as unknown as Measured;

  it('counts every finite value once, on an axis in steps of the noise near the level', async () => {
    const values = [100, 100, 110, 1000, 70, Number.NaN, Number.POSITIVE_INFINITY, -1e6];
    const source = planeSource('a', { width: 8, height: 1, data: Float32Array.from(values) });
    const histogram = await histogramOf(source, measured);
    expect(histogram.counts.reduce((a, b) => a + b, 0)).toBe(6);
    const bin = (value: number) =>
      Math.floor(
        ((axisOf(histogram, value) - histogram.low) / (histogram.high - histogram.low)) * histogram.counts.length,
      );
    expect(histogram.counts[bin(100)]).toBe(2);
    expect(histogram.counts[bin(1000)]).toBe(1);
    expect(histogram.counts[0]).toBe(1);
    // asinh(1) = ln(1 + √2)
    expect(axisOf(histogram, 110)).toBeCloseTo(Math.log(1 + Math.SQRT2), 12);
    expect(valueAt(histogram, axisOf(histogram, 437))).toBeCloseTo(437, 9);
  });

  it('has an axis for a channel without noise', async () => {
    const flat = { ...measured, spread: 0, min: 100, max: 100, percentiles: { '0.05': 100 } };
    const source = planeSource('a', { width: 2, height: 1, data: Float32Array.of(100, 100) });
    const { low, high, counts } = await histogramOf(source, flat);
    expect(high).toBeGreaterThan(low);
    expect(counts.reduce((a, b) => a + b, 0)).toBe(2);
  });
});
