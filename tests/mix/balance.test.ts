import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BALANCES, type Weights } from '../../lib/mix/balance.ts';
import { expectClose } from '../colour/close.ts';
import golden from '../golden/mix.json' with { type: 'json' };

/** Y of red, green and blue: IEC 61966-2-1. */
const luminance = [0.2126, 0.7152, 0.0722] as const;
const { weights } = golden;
const balanced = (name: keyof typeof BALANCES, matrix: Weights, white?: readonly number[]): number[][] => {
  const result = BALANCES[name].apply(matrix, { luminance, white });
  if ('fault' in result) throw new Error(result.fault);
  return result.weights;
};
const faultOf = (name: keyof typeof BALANCES, matrix: Weights, white?: readonly number[]) => {
  const result = BALANCES[name].apply(matrix, { luminance, white });
  return 'fault' in result ? result : undefined;
};
const sum = (row: readonly number[]) => row.reduce((a, b) => a + b, 0);

describe('balance', () => {
  it('gives the published values', () => {
    expect(balanced('as-written', weights)).toEqual(weights);
    expectClose(balanced('rows', weights).flat(), golden.rows.flat(), 1e-15);
    expectClose(balanced('peak', weights).flat(), golden.peak.flat(), 1e-15);
    expectClose(balanced('absolute', weights).flat(), golden.absolute.flat(), 1e-15);
    expectClose(balanced('white', weights, golden.white).flat(), golden.whitened.flat(), 1e-15);
  });

  it('makes lines equally bright by equal-light, and leaves a dark column alone', () => {
    const matrix = [
      [1, 0, 0.2, 0],
      [0, 1, 0.3, 0],
      [0, 0, 0.9, 0],
    ];
    const lights = balanced('equal-light', matrix)[0]!.map((_, c) =>
      luminance.reduce((y, l, r) => y + l * balanced('equal-light', matrix)[r]![c]!, 0),
    );
    const mean = (0.2126 + 0.7152 + (0.2 * 0.2126 + 0.3 * 0.7152 + 0.9 * 0.0722)) / 3;
    expectClose(lights, [mean, mean, mean, 0], 1e-15);
  });

  it('says which row cannot be balanced', () => {
    const bad = [
      [1, 0],
      [0.5, -0.5],
      [0, 1],
    ];
    expect(faultOf('rows', bad)).toMatchObject({ row: 1, fault: expect.stringContaining('green') });
    expect(faultOf('white', weights, [0, 0, 0])).toMatchObject({ row: 0 });
    expect(faultOf('white', weights)?.fault).toContain('"white"');
    const none = [[0], [0], [0]];
    for (const name of ['peak', 'absolute', 'equal-light'] as const) expect(faultOf(name, none)).toBeDefined();
    expect(faultOf('peak', [[-1], [-1], [-1]])).toBeDefined();
    expect(
      faultOf('equal-light', [
        [-1, 1],
        [0, 0],
        [0, 0],
      ]),
    ).toBeDefined();
  });

  it('divides by a sum just large enough, and not by one below', () => {
    expect(faultOf('rows', [[1e-9], [1], [1]])).toBeUndefined();
    expect(faultOf('rows', [[0.99e-9], [1], [1]])).toMatchObject({ row: 0 });
  });

  it('holds what each promises for any weights', () => {
    const matrix = fc.array(fc.array(fc.double({ min: -10, max: 10, noNaN: true }), { minLength: 3, maxLength: 3 }), {
      minLength: 3,
      maxLength: 3,
    });
    fc.assert(
      fc.property(matrix, (any) => {
        if (!faultOf('rows', any))
          // Rounding grows as the row's weights cancel.
          for (const [r, row] of balanced('rows', any).entries())
            expect(Math.abs(sum(row) - 1)).toBeLessThan(1e-14 + 1e-15 * (sum(any[r]!.map(Math.abs)) / sum(any[r]!)));
        if (!faultOf('peak', any))
          expect(Math.max(...balanced('peak', any).map((row) => sum(row.filter((w) => w > 0))))).toBeCloseTo(1, 12);
        if (!faultOf('absolute', any))
          expect(Math.max(...balanced('absolute', any).map((row) => sum(row.map(Math.abs))))).toBeCloseTo(1, 12);
      }),
    );
  });
});
