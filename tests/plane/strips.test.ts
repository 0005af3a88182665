import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { outputRows } from '../../lib/plane/picture.ts';
import type { SampleType } from '../../lib/plane/plane.ts';
import { canDecode, isScaled, memoryForm, rawForm } from '../../lib/plane/sample-form.ts';
import { eachStrip, isWide, STRIP_PIXELS, samplesFor, stripRows } from '../../lib/plane/strips.ts';
import { turns } from '../../lib/plane/turns.ts';

const WIDTH = 50_000;
const source = planeSource('a.fits', {
  width: WIDTH,
  height: 5,
  data: Float32Array.from({ length: 5 * WIDTH }, (_, i) => i),
});

describe('strips', () => {
  it('cover a source from top to bottom, once', async () => {
    // 2¹⁷ pixels hold two whole rows of 50,000.
    expect(stripRows(WIDTH)).toBe(2);
    const seen: number[][] = [];
    const done: number[] = [];
    const visit = (data: ArrayLike<number>, y: number, rows: number) => {
      expect(data).toHaveLength(rows * WIDTH);
      seen.push([y, rows, data[0]!, data[data.length - 1]!]);
    };
    await eachStrip(source, visit, { progress: (share) => done.push(share) });
    expect(seen).toEqual([
      [0, 2, 0, 2 * WIDTH - 1],
      [2, 2, 2 * WIDTH, 4 * WIDTH - 1],
      [4, 1, 4 * WIDTH, 5 * WIDTH - 1],
    ]);
    expect(done).toEqual([0.4, 0.8, 1]);
  });

  it('have at least a row, and whole ones', () => {
    expect(stripRows(STRIP_PIXELS + 1)).toBe(1);
    expect(stripRows(10, 39)).toBe(3);
  });

  it('stop where they are told to', async () => {
    const controller = new AbortController();
    const seen: number[] = [];
    const visit = (_: unknown, y: number) => {
      seen.push(y);
      controller.abort();
    };
    await expect(eachStrip(source, visit, { signal: controller.signal })).rejects.toMatchObject({ tag: 'cancelled' });
    expect(seen).toEqual([0]);
  });
});

describe('samples', () => {
  it.each<[SampleType, boolean]>([
    ['u8', false],
    ['i8', false],
    ['u16', false],
    ['i16', false],
    ['f16', false],
    ['f32', false],
    ['u32', true],
    ['i32', true],
    ['i64', true],
    ['f64', true],
  ])('of type %s need float64: %s', (type, wide) => {
    expect(isWide({ type })).toBe(wide);
    const samples = samplesFor({ type }, 3);
    expect(samples).toBeInstanceOf(wide ? Float64Array : Float32Array);
    expect(samples).toHaveLength(3);
    expect(canDecode(type)).toBe(type !== 'i64' && type !== 'f16');
  });

  it('have the form of the stored rows, or of memory', () => {
    const raw = { type: 'i16', bigEndian: true, zero: 32768, scale: 2, blank: -1 } as const;
    expect(rawForm({ ...raw, offset: 9, rowBytes: 8, bottomUp: true }, 'u16')).toEqual({ ...raw, physical: 'u16' });
    const plain = { bigEndian: false, zero: 0, scale: 1, blank: undefined };
    expect(memoryForm(new Float32Array(1))).toEqual({ ...plain, type: 'f32', physical: 'f32' });
    expect(memoryForm(new Float64Array(1))).toEqual({ ...plain, type: 'f64', physical: 'f64' });
  });

  it('are scaled where zero, scale or blank say so', () => {
    const plain = memoryForm(new Float32Array(1));
    expect(isScaled(plain)).toBe(false);
    for (const other of [{ zero: 1 }, { scale: 2 }, { blank: 0 }]) expect(isScaled({ ...plain, ...other })).toBe(true);
  });

  it('of a written picture have its type', () => {
    expect(outputRows('u8', 2)).toEqual(new Uint8Array(2));
    expect(outputRows('u16', 2)).toEqual(new Uint16Array(2));
    expect(outputRows('f32', 2)).toEqual(new Float32Array(2));
  });
});

describe('turns', () => {
  it('do one work after another, whatever became of the one before', async () => {
    const turn = turns();
    const told: string[] = [];
    const work = (name: string, fails: boolean) => async () => {
      told.push(`${name} begins`);
      await new Promise((resolve) => setTimeout(resolve, 1));
      told.push(`${name} ends`);
      if (fails) throw new Error(name);
      return name;
    };
    const done = await Promise.allSettled([turn(work('a', false)), turn(work('b', true)), turn(work('c', false))]);
    expect(told).toEqual(['a begins', 'a ends', 'b begins', 'b ends', 'c begins', 'c ends']);
    expect(done.map(({ status }) => status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
    expect(done[2]).toMatchObject({ value: 'c' });
  });
});
