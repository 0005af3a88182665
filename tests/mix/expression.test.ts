import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { type ExpressionResult, evaluateExpression } from '../../lib/mix/expression.ts';
import { plainNumber } from '../../lib/mix/expression-tokens.ts';
import { leastTime } from '../processor-time.ts';

const knobs = new Map([
  ['share', 0.25],
  ['a_1', 2],
]);
const evaluate = (text: string): Promise<ExpressionResult> => evaluateExpression(text, knobs);
const faultOf = async (text: string) => {
  const result = await evaluate(text);
  if ('value' in result) throw new Error(`${text} gives ${result.value}`);
  return result.fault;
};

// The parser is loaded once; its loading is not what the time limits are about.
beforeAll(() => evaluate('share + 1'));

describe('an expression', () => {
  it.each([
    ['0', 0],
    ['1', 1],
    [' 0.5 ', 0.5],
    ['-.5', -0.5],
    ['+3.', 3],
    ['1e-3', 0.001],
    ['- 2', -2],
    ['share', 0.25],
    ['1 - share', 0.75],
    ['1-share', 0.75],
    ['a_1 * share', 0.5],
    ['share / a_1', 0.125],
    ['a_1 ^ 3', 8],
    // Mathematics' convention: powers bind before the sign, and from the right.
    ['-a_1 ^ 2', -4],
    ['2 ^ 3 ^ a_1', 512],
    ['2 ^ -1', 0.5],
    ['1 - 2 - 3', -4],
    ['8 / 4 / 2', 1],
    ['2 + 3 * 4', 14],
    ['(2 + 3) * 4', 20],
    ['--1', 1],
    ['+share', 0.25],
    ['min(1, share, 2)', 0.25],
    ['max(share, a_1)', 2],
    ['abs(-3)', 3],
    ['sqrt(a_1 * 8)', 4],
    ['pi', Math.PI],
    ['min(1)', 1],
    ['((((share))))', 0.25],
  ])('%s is %d', async (text, value) => {
    const result = await evaluate(text);
    expect('value' in result ? result.value : result.fault).toBeCloseTo(value, 15);
  });

  it.each([
    ['1 - shaer', 5, /no knob shaer \(did you mean share\?\)/],
    ['unlike', 1, /no knob unlike; knobs: share, a_1/],
    ['0,5', 2, /decimals take a point/],
    ['(1, 2)', 3, /comma/],
    ['2 share', 3, /sign is missing before share/],
    ['(1)(2)', 4, /sign is missing/],
    ['share(2)', 6, /sign is missing/],
    ['1.2.3', 4, /sign is missing/],
    ['1 + ', 5, /missing here/],
    ['()', 2, /missing here/],
    ['min(1,)', 7, /missing here/],
    ['* 2', 1, /missing here/],
    ['1 + (2', 6, /never closed/],
    ['1)', 2, /never opened/],
    ['min', 1, /allowed/],
    ['sqrt 2', 6, /parentheses/],
    ['sqrt(1, 2)', 1, /takes 1 argument/],
    ['min(1,2,3,4,5,6,7,8,9)', 1, /1 to 8 arguments/],
    ['1 / 0', 1, /gives Infinity/],
    ['share / (share - 0.25)', 1, /gives Infinity where share = 0\.25, a_1 = 2/],
    ['sqrt(-1)', 1, /gives NaN/],
    ['(-8) ^ 0.5', 1, /gives NaN/],
    ['9 ^ 9 ^ 9 ^ 9', 1, /gives Infinity/],
    ['1e999', 1, /^gives Infinity$/],
    ['1 + 1e999', 5, /too large/],
    ['#', 1, /means nothing/],
    ['1 # comment', 3, /means nothing/],
  ])('%s is refused at character %d', async (text, at, message) => {
    const fault = await faultOf(text);
    expect(fault.message).toMatch(message);
    expect(fault.at).toBe(at);
  });

  it.each([
    'config({})',
    'import({}, {})',
    'createUnit("x")',
    'evaluate("1")',
    'parse("1")',
    'simplify("1")',
    'derivative("x", "x")',
    'f(x) = x',
    'x = 1',
    'share = 2',
    'a.b',
    'a["constructor"]',
    'cos.constructor("return 1")()',
    'constructor',
    '__proto__',
    'toString()',
    'hasOwnProperty',
    'NaN',
    'Infinity',
    'null',
    'true',
    'undefined',
    'i',
    'e',
    '5!',
    "share'",
    '50%',
    '5 mod 3',
    '1:10000000',
    '[1, 2]',
    '{a: 1}',
    '"text"',
    '3 cm',
    '0x10',
    '0b11',
    'share ? 1 : 2',
    'share == 1',
    'not share',
    '1; 2',
    '1\n2',
    '1 | 2',
    '2 .* 3',
    'mean(1, 2)',
    'random()',
    'max.apply(1)',
    'min(share)(1)',
    '½',
    '×',
    '−1',
    '１',
    'share\u200b',
    '\u0000',
    '1 \u202e 2',
    'min(',
    '(',
    ')',
    ',',
    '.',
    'e5',
  ])('%j is refused', async (text) => {
    expect((await faultOf(text)).message).not.toBe('');
  });

  it.each([
    ['deep parentheses', '('.repeat(10_000)],
    ['matched deep parentheses', `${'('.repeat(240)}1${')'.repeat(240)}`],
    ['many signs', `${'-'.repeat(499)}1`],
    ['many powers', `2${'^2'.repeat(249)}`],
    ['many terms', Array.from({ length: 5000 }, () => '1').join('+')],
    ['huge powers', '9^9^9^9^9^9'],
    ['10,000 letters', 'a'.repeat(10_000)],
    ['10,000 digits', '1'.repeat(10_000)],
    ['10,000 spaces', `1${' '.repeat(10_000)}+`],
    ['nested calls', `${'min('.repeat(120)}1${')'.repeat(120)}`],
    ['a long range', '1:10000000'],
  ])('%s are over within 50 ms', async (_, text) => {
    expect('fault' in (await evaluate(text))).toBe(true);
    expect(await leastTime(() => evaluate(text))).toBeLessThan(50);
  });

  it('may be wide, but not endless', async () => {
    const tree = (leaves: number): string => (leaves === 1 ? '1' : `(${tree(leaves / 2)}+${tree(leaves / 2)})`);
    expect(await evaluate(tree(32))).toEqual({ value: 32 });
    expect((await faultOf(`${tree(64)}+${tree(16)}`)).message).toMatch(/more than 200 parts/);
    expect((await faultOf(`2${'^1'.repeat(60)}`)).message).toMatch(/more than 50 deep/);
    expect((await faultOf('1'.repeat(501))).message).toMatch(/at most 500 characters/);
  });

  it('leaves the parser unchanged by hostile text', async () => {
    for (const text of ['config({number: "BigNumber"})', 'pi = 3', 'sqrt = 1']) await evaluate(text);
    expect(await evaluate('pi * sqrt(4)')).toEqual({ value: 2 * Math.PI });
  });

  it('needs no knobs', async () => {
    expect(await evaluateExpression('2 * 3', new Map())).toEqual({ value: 6 });
    const result = await evaluateExpression('x', new Map());
    expect('fault' in result && result.fault.message).toMatch(/has no "knobs"/);
  });

  /** Random trees with their text, fully parenthesized, and their value computed here. */
  const { tree } = fc.letrec<{ tree: { text: string; value: number } }>((tie) => ({
    tree: fc.oneof(
      { maxDepth: 5, withCrossShrink: true },
      fc.double({ min: -100, max: 100, noNaN: true }).map((value) => ({ text: `(${value})`, value })),
      fc.constant({ text: 'share', value: 0.25 }),
      fc
        .tuple(tie('tree'), fc.constantFrom('+', '-', '*', '/', '^'), tie('tree'))
        .map(([a, sign, b]) => ({ text: `(${a.text} ${sign} ${b.text})`, value: apply(sign, a.value, b.value) })),
      fc
        .tuple(tie('tree'), tie('tree'))
        .map(([a, b]) => ({ text: `max(${a.text}, ${b.text})`, value: Math.max(a.value, b.value) })),
      tie('tree').map(({ text, value }) => ({ text: `abs(-${text})`, value: Math.abs(value) })),
    ),
  }));

  it('has the value that the same tree has', () =>
    fc.assert(
      fc.asyncProperty(tree, async ({ text, value }) => {
        fc.pre(text.length <= 500);
        const result = await evaluate(text);
        if (Number.isFinite(value)) expect(result).toEqual({ value: value + 0 });
        else expect('fault' in result).toBe(true);
      }),
      { numRuns: 300 },
    ));
});

const apply = (sign: string, a: number, b: number): number => {
  if (sign === '+') return a + b;
  if (sign === '-') return a - b;
  if (sign === '*') return a * b;
  return sign === '/' ? a / b : a ** b;
};

describe('a plain number', () => {
  it.each([
    ['0.25', 0.25],
    [' -3 ', -3],
    ['-0', 0],
    ['+1e2', 100],
  ])('%j is %d', (text, value) => expect(plainNumber(text)).toBe(value));
  it.each(['', ' ', '0,5', '1 2', '0x1', 'NaN', '1e', '--1', 'share'])('%j is none', (text) =>
    expect(plainNumber(text)).toBeUndefined(),
  );
});
