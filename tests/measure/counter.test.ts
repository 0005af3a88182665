import { describe, expect, it } from 'vitest';
import { createCounter } from '../../lib/measure/counter.ts';
import { jsCounter } from '../../lib/measure/js-counter.ts';
import { placeAtRank, summedPlaces, sumsBelow } from '../../lib/measure/place-counts.ts';
import { addLower, addUpper, type LowerCounts, type PlaceCounts } from '../../lib/plane/counting.ts';
import { memoryForm } from '../../lib/plane/sample-form.ts';
import { randomNumbers } from '../parity/settled-cases.ts';

const next = randomNumbers(5);
const noise = Float32Array.from({ length: 5003 }, (_, i) => (i % 611 === 3 ? Number.NaN : 0.4 + 0.01 * next()));

/** Both counters over the same values, given again and again. */
const counted = (values: Float32Array, bins: readonly number[], times: number) => {
  const needs = { form: memoryForm(values), pedestal: 0, most: values.length, bins };
  const fast = createCounter(needs);
  fast.samples.set(new Uint8Array(values.buffer));
  const slow = jsCounter(0, bins);
  for (let i = 0; i < times; i++) {
    if (bins.length > 0) {
      fast.refine(values.length);
      slow.refine(values);
    } else {
      fast.count(values.length);
      slow.count(values);
    }
  }
  const results = {
    fast: bins.length > 0 ? fast.lower() : fast.upper(),
    slow: bins.length > 0 ? slow.lower() : slow.upper(),
  };
  fast.release();
  return results;
};

describe('the counting module', () => {
  it('gives the counts of plain code', () => {
    const { fast, slow } = counted(noise, [], 3);
    expect(fast).toEqual(slow);
  });

  it('gives the places of plain code, also where each is met a thousand times', () => {
    const bins = [0xbecc, 0xbecd, 0xbecf, 0x7000];
    const { fast, slow } = counted(noise, bins, 1000);
    expect(fast).toEqual(slow);
    const [[first]] = fast as LowerCounts as [[PlaceCounts]];
    expect(first.passed.size).toBeGreaterThan(100);
  });

  it('does not overflow where more than 2^24 values fall into one bin', () => {
    const flat = new Float32Array(1 << 17).fill(Math.fround(0.7));
    const needs = { form: memoryForm(flat), pedestal: 0, most: flat.length, bins: [] };
    const counter = createCounter(needs);
    counter.samples.set(new Uint8Array(flat.buffer));
    for (let i = 0; i < 300; i++) counter.count(flat.length);
    const { bins } = counter.upper();
    counter.release();
    const word = new Uint32Array(flat.buffer)[0]!;
    const [bin, place] = [0x8000 | (word >>> 16), word & 0xffff];
    const n = 300 * flat.length;
    expect([...bins.subarray(3 * bin, 3 * bin + 3)]).toEqual([n, n * place, n * place * place]);
  });

  it('decodes stored samples, whose values may then be changed', () => {
    const stored = new DataView(new ArrayBuffer(14));
    const values = [0, 1, 40000, 65535, 300, 7, 12345];
    for (const [i, value] of values.entries()) stored.setInt16(2 * i, value - 32768);
    const form = { type: 'i16', physical: 'u16', bigEndian: true, zero: 32768, scale: 1, blank: undefined } as const;
    const counter = createCounter({ form, pedestal: 0, most: 7, bins: [], decodes: true });
    counter.samples.set(new Uint8Array(stored.buffer));
    const decoded = counter.decode(7);
    expect([...decoded]).toEqual(values);
    decoded[2] = Number.NaN;
    counter.takeOff(7, 300);
    counter.count(7);
    const plain = jsCounter(0, []);
    plain.count(Float32Array.from([-300, -299, Number.NaN, 65235, 0, -293, 12045]));
    expect(counter.upper()).toEqual(plain.upper());
    counter.release();
  });

  it.each([true, false])('takes a surface off a row in float64 (big-endian: %s)', (bigEndian) => {
    const [width, rows] = [7, 3];
    const values = Float32Array.from({ length: width * rows }, (_, i) => 100 + 3 * Math.sin(i));
    const stored = new DataView(new ArrayBuffer(values.byteLength));
    for (const [i, v] of values.entries()) stored.setFloat32(4 * i, v, !bigEndian);
    const counter = createCounter({
      form: memoryForm(values),
      pedestal: 0,
      most: values.length,
      bins: [],
      decodes: true,
    });
    counter.samples.set(new Uint8Array(stored.buffer));
    const line = [5, -2, 3, 0.5, -1.25];
    counter.flatten(0, width, line, bigEndian);
    counter.flatten(width, width, [4], bigEndian);
    const flat = counter.decode(2 * width);
    for (let x = 0; x < width; x++) {
      // u runs from −1 at one edge to 1 at the other.
      const u = (2 * x + 1) / width - 1;
      const surface = 5 - 2 * u + 3 * u ** 2 + 0.5 * u ** 3 - 1.25 * u ** 4;
      expect(flat[x]).toBe(Math.fround(values[x]! - surface));
      expect(flat[width + x]).toBe(Math.fround(values[width + x]! - 4));
    }
    const rest = new Uint8Array(stored.buffer).slice(8 * width);
    expect(counter.samples.slice(8 * width)).toEqual(rest);
    counter.release();
  });

  it('counts what is missing and what is zero, about the pedestal of wide numbers', () => {
    const values = Float64Array.of(7, 8, 7, Number.NaN, Number.POSITIVE_INFINITY, 0, -0);
    const counter = createCounter({ form: memoryForm(values), pedestal: 7, most: 7, bins: [] });
    counter.samples.set(new Uint8Array(values.buffer));
    counter.count(7);
    expect(counter.upper()).toMatchObject({ missing: 2, zeros: 2 });
    // The first three alone once more.
    counter.count(3);
    expect(counter.upper()).toMatchObject({ missing: 2, zeros: 4 });
    counter.release();
  });
});

describe('places of a bin', () => {
  const places = Array.from({ length: 4000 }, () => Math.floor(65536 * next() ** 3));
  const partOf = (some: readonly number[]) => {
    const bytes = new Uint8Array(65536);
    const passed = new Map<number, number>();
    for (const place of some) {
      bytes[place]!++;
      if (bytes[place] === 0) passed.set(place, (passed.get(place) ?? 0) + 1);
    }
    return summedPlaces(bytes, passed);
  };
  const all = [...places, ...Array.from({ length: 900 }, () => 77)].sort((a, b) => a - b);
  const parts = [partOf(all.filter((_, i) => i % 3 === 0)), partOf(all.filter((_, i) => i % 3 !== 0))];

  it('are found by rank', () => {
    for (const rank of [0, 1, 255, 256, 700, 1999, all.length - 1]) expect(placeAtRank(parts, rank)).toBe(all[rank]);
  });

  it('are summed up to any place', () => {
    for (const end of [0, 1, 77, 78, 256, 5000, 65535, 65536]) {
      const below = all.filter((place) => place < end);
      expect(sumsBelow(parts, end)).toEqual({
        count: below.length,
        places: below.reduce((sum, place) => sum + place, 0),
        squares: below.reduce((sum, place) => sum + place * place, 0),
      });
    }
  });
});

describe('shares of counts', () => {
  it('add up to the counts of all', () => {
    const [first, second, both] = [jsCounter(0, []), jsCounter(0, []), jsCounter(0, [])];
    first.count(noise.subarray(0, 2000));
    second.count(noise.subarray(2000));
    both.count(noise);
    expect(addUpper(addUpper(undefined, first.upper()), second.upper())).toEqual(both.upper());
    const parts = addLower(addLower(undefined, [[summedPlaces(new Uint8Array(65536).fill(1), new Map())]]), [
      [summedPlaces(new Uint8Array(65536).fill(2), new Map())],
    ]);
    expect(sumsBelow(parts[0]!, 10).count).toBe(30);
  });
});
