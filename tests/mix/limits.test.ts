import { describe, expect, it } from 'vitest';
import { BALANCES } from '../../lib/mix/balance.ts';
import { evaluateExpression } from '../../lib/mix/expression.ts';

const evaluate = (text: string) => evaluateExpression(text, new Map());
const nested = (depth: number) => `${'('.repeat(depth)}1+1${')'.repeat(depth)}`;

/** The largest of sums of so many ones: a sum of n ones is n numbers and n − 1 signs, and the function is one part. */
const largest = (...ones: number[]) => `max(${ones.map((n) => Array(n).fill(1).join('+')).join()})`;

describe('an expression at its limits', () => {
  it('has at most 500 characters', async () => {
    expect(await evaluate(`${'0'.repeat(499)}1`)).toEqual({ value: 1 });
    expect(await evaluate(`1 +${' '.repeat(496)}1`)).toEqual({ value: 2 });
    for (const text of [`${'0'.repeat(500)}1`, `1 +${' '.repeat(497)}1`])
      expect(await evaluate(text)).toMatchObject({ fault: { message: expect.stringMatching(/at most 500/), at: 501 } });
  });

  it('nests at most 50 deep', async () => {
    expect(await evaluate(nested(49))).toEqual({ value: 2 });
    expect(await evaluate(nested(50))).toMatchObject({
      fault: { message: 'the expression nests more than 50 deep', at: 1 },
    });
    expect(await evaluate(nested(51))).toMatchObject({
      fault: { message: 'parentheses nest more than 50 deep', at: 51 },
    });
  });

  it('has at most 200 parts', async () => {
    expect(await evaluate(largest(20, 20, 20, 20, 22))).toEqual({ value: 22 });
    expect(await evaluate(largest(20, 20, 20, 20, 20, 3))).toMatchObject({
      fault: { message: expect.stringMatching(/more than 200 parts/) },
    });
  });

  it.each(['min()', 'abs()', 'sqrt( )'])('gives %s no value', async (text) => {
    expect(await evaluate(text)).toHaveProperty('fault');
  });

  it('takes numbers with many digits after a bare point', async () => {
    expect(await evaluate('.125')).toEqual({ value: 0.125 });
    expect(await evaluate('.125 + .25')).toEqual({ value: 0.375 });
  });
});

describe('the fault of a balance', () => {
  it.each([
    [0, 'red'],
    [1, 'green'],
    [2, 'blue'],
  ] as const)('names the colour of row %d, %s', (row, colour) => {
    const weights = [0, 1, 2].map((r) => (r === row ? [0, 0] : [1, 1]));
    for (const balance of [BALANCES.rows, BALANCES.white])
      expect(balance.apply(weights, { luminance: [0.2, 0.7, 0.1], white: [1, 1] })).toMatchObject({
        row,
        fault: expect.stringContaining(colour),
      });
  });
});
