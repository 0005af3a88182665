import { describe, expect, it } from 'vitest';
import { createFloatSorter } from '../../lib/plane/sort-floats.ts';

/** Any bits but those of NaN: subnormal, infinite and negative numbers and both zeros among them. */
const floats = (count: number, seed: number): Float32Array<ArrayBuffer> => {
  const bits = new Uint32Array(count);
  let state = seed;
  for (let i = 0; i < count; i++) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    bits[i] = (state & 0x7f800000) === 0x7f800000 ? state & 0xff800000 : state;
  }
  bits.set([0, 0x80000000, 0x7f800000, 0xff800000, 1, 0x80000001].slice(0, count));
  return new Float32Array(bits.buffer);
};

const bitsOf = (values: Float32Array): number[] => [...new Uint32Array(values.slice().buffer)];

describe('sorting float32 values', () => {
  const sort = createFloatSorter(5000);
  for (const count of [0, 1, 2, 255, 256, 257, 3249, 5000])
    it(`gives ${count} in the order of the language's own sort, bit for bit`, () => {
      const values = floats(count, count + 1);
      const wanted = values.slice().sort();
      sort(values);
      expect(bitsOf(values)).toEqual(bitsOf(wanted));
    });

  it('leaves what lies beside a part alone', () => {
    const values = floats(1000, 9);
    const before = values.slice();
    sort(values.subarray(100, 700));
    expect(bitsOf(values.subarray(0, 100))).toEqual(bitsOf(before.subarray(0, 100)));
    expect(bitsOf(values.subarray(700))).toEqual(bitsOf(before.subarray(700)));
    expect(bitsOf(values.subarray(100, 700))).toEqual(bitsOf(before.slice(100, 700).sort()));
  });
});
