import fc from 'fast-check';
import { expect, it } from 'vitest';
import { median } from '../../lib/plane/robust.ts';
import { quickMedian } from '../../lib/plane/select.ts';

it('is the median that sorting gives, of any count of any values', () => {
  const values = fc.array(fc.oneof(fc.double({ noNaN: true }), fc.integer({ min: -2, max: 2 })), { maxLength: 60 });
  fc.assert(
    fc.property(values, fc.nat(60), (some, length) => {
      const count = Math.min(length, some.length);
      const found = quickMedian(Float64Array.from(some), count);
      expect(found + 0).toBe(median(some.slice(0, count)) + 0);
    }),
    { numRuns: 2000 },
  );
});
