import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  column,
  identity,
  type Matrix,
  multiply,
  multiplyVector,
  packRows,
  transpose,
} from '../../lib/plane/linear.ts';
import { conditionOf, pseudoInverse, rankOf, svd } from '../../lib/plane/svd.ts';
import { expectClose } from '../colour/close.ts';
import golden from '../golden/plane/svd.json';

const closeMatrix = (got: Matrix, wanted: Matrix, tolerance: number) =>
  expectClose(got.flat(), wanted.flat(), tolerance);

describe.each(golden.matrices)('$name against numpy', ({ matrix, values, condition, rank, inverse }) => {
  it('singular values', () => expectClose(svd(matrix).values, values, 1e-12));
  it('rank', () => expect(rankOf(matrix)).toBe(rank));
  it('condition', () => {
    if (rank < Math.min(matrix.length, matrix[0]!.length)) expect(conditionOf(matrix)).toBe(Number.POSITIVE_INFINITY);
    else expect(conditionOf(matrix) / Number(condition)).toBeCloseTo(1, 9);
  });
  it('pseudo-inverse', () =>
    closeMatrix(pseudoInverse(matrix), inverse, 1e-12 * Number(rank < 3 ? 1 : condition) ** 2 + 1e-12));
});

const entry = fc.double({ min: -3, max: 3, noNaN: true });
const matrices = fc
  .integer({ min: 1, max: 8 })
  .chain((columns) =>
    fc.array(fc.array(entry, { minLength: columns, maxLength: columns }), { minLength: 3, maxLength: 3 }),
  );

describe('any 3 × N matrix', () => {
  it('is the product of its parts, and they are orthonormal', () => {
    fc.assert(
      fc.property(matrices, (a) => {
        const { u, values, v } = svd(a);
        closeMatrix(
          multiply(
            u.map((row) => row.map((x, k) => x * values[k]!)),
            transpose(v),
          ),
          a,
          1e-13,
        );
        const reached = values.filter((s) => s > 1e-12).length;
        const vv = multiply(transpose(v), v);
        const uu = multiply(transpose(u), u);
        for (let k = 0; k < reached; k++) {
          expect(vv[k]![k]).toBeCloseTo(1, 12);
          expect(uu[k]![k]).toBeCloseTo(1, 12);
          for (let m = 0; m < k; m++) expect(Math.abs(uu[k]![m]!) + Math.abs(vv[k]![m]!)).toBeLessThan(1e-9);
        }
        expect(values).toEqual([...values].sort((x, y) => y - x));
      }),
    );
  });

  it('is undone by its pseudo-inverse as far as it goes (Penrose 1955)', () => {
    fc.assert(
      fc.property(matrices, (a) => {
        const condition = conditionOf(a);
        if (condition > 1e6) return;
        const p = pseudoInverse(a);
        closeMatrix(multiply(multiply(a, p), a), a, 1e-9);
        closeMatrix(multiply(a, p), transpose(multiply(a, p)), 1e-8);
      }),
    );
  });
});

it.each([
  {
    what: 'zero',
    a: [
      [0, 0],
      [0, 0],
      [0, 0],
    ],
    rank: 0,
  },
  {
    what: 'one column twice',
    a: [
      [1, 1],
      [2, 2],
      [0, 0],
    ],
    rank: 1,
  },
  {
    what: 'two rows the same',
    a: [
      [1, 0, 1],
      [0, 1, 1],
      [0, 1, 1],
    ],
    rank: 2,
  },
  {
    what: 'tiny',
    a: [
      [1e-200, 0],
      [0, 1e-200],
      [0, 0],
    ],
    rank: 2,
  },
])('$what does not throw', ({ a, rank }) => {
  expect(rankOf(a)).toBe(rank);
  expect(pseudoInverse(a).flat().every(Number.isFinite)).toBe(true);
});

it('the pseudo-inverse meets what can be met and comes nearest else', () => {
  const swapped: Matrix = [
    [0, 1],
    [1, 0],
  ];
  expectClose(multiplyVector(pseudoInverse(swapped), [2, 3]), [3, 2], 1e-12);
  // The mean is nearest to three numbers at once.
  expect(multiplyVector(pseudoInverse([[1], [1], [1]]), [1, 2, 6])[0]).toBeCloseTo(3, 14);
});

it('small products', () => {
  expect(
    multiply(
      [
        [1, 2],
        [3, 4],
      ],
      [
        [5, 6],
        [7, 8],
      ],
    ),
  ).toEqual([
    [19, 22],
    [43, 50],
  ]);
  expect(multiplyVector([[1, 2, 3]], [4, 5, 6])).toEqual([32]);
  expect([...packRows(identity(2))]).toEqual([1, 0, 0, 1]);
});

it('a column holds an entry of each row', () => {
  expect(
    column(
      [
        [1, 2],
        [3, 4],
        [5, 6],
      ],
      1,
    ),
  ).toEqual([2, 4, 6]);
  expect(column([], 0)).toEqual([]);
});

it('a matrix without rows has no singular values', () => {
  expect(svd([]).values).toEqual([]);
  expect(rankOf([])).toBe(0);
});
