import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type HeldProblem,
  heldWeights,
  likenesses,
  MOST_PRICE,
  mixNoise,
} from '../../../lib/recipe/suggest/held-weights.ts';

/** x of a·x = b by elimination with pivots: shares nothing with the decomposition that is judged. */
const solve = (a: readonly (readonly number[])[], b: readonly number[]): number[] => {
  const n = b.length;
  const rows = a.map((row, i) => [...row, b[i]!]);
  for (let c = 0; c < n; c++) {
    let best = c;
    for (let r = c + 1; r < n; r++) if (Math.abs(rows[r]![c]!) > Math.abs(rows[best]![c]!)) best = r;
    [rows[c], rows[best]] = [rows[best]!, rows[c]!];
    for (let r = c + 1; r < n; r++) {
      const factor = rows[r]![c]! / rows[c]![c]!;
      for (let k = c; k <= n; k++) rows[r]![k]! -= factor * rows[c]![k]!;
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let r = n - 1; r >= 0; r--) {
    let rest = rows[r]![n]!;
    for (let k = r + 1; k < n; k++) rest -= rows[r]![k]! * x[k]!;
    x[r] = rest / rows[r]![r]!;
  }
  return x;
};

/**
 * The same weights another way: each row w minimizes Σ (c − w·e)² + τ²·Σ ((w − w₀)·σ/σ_rms)², a square problem in the
 * lines (not in the places) whose normal equations are written out.
 */
const byNormalEquations = ({ weights, places, noise }: HeldProblem, ridge: number): number[][] => {
  const n = noise.length;
  const variance = noise.reduce((sum, s) => sum + s * s, 0) / n;
  return weights.map((row, band) => {
    const a = Array.from({ length: n }, (_, i) =>
      Array.from({ length: n }, (_, j) => {
        let sum = i === j ? (ridge * noise[i]! ** 2) / variance : 0;
        for (const { strengths } of places) sum += strengths[i]! * strengths[j]!;
        return sum;
      }),
    );
    const b = Array.from({ length: n }, (_, i) => {
      let sum = 0;
      for (const { strengths, mixed } of places) {
        const have = row.reduce((total, w, k) => total + w * strengths[k]!, 0);
        sum += strengths[i]! * (mixed[band]! - have);
      }
      return sum;
    });
    const change = solve(a, b);
    return row.map((w, k) => w + change[k]!);
  });
};

const startOf = ({ noise, pixels }: HeldProblem) => noise.reduce((sum, s) => sum + s * s, 0) / pixels;
const apart = (a: readonly (readonly number[])[], b: readonly (readonly number[])[]) =>
  Math.max(...a.flatMap((row, r) => row.map((v, c) => Math.abs(v - b[r]![c]!))));

const unit = fc.double({ min: 0.02, max: 1, noNaN: true });
const problem = fc.integer({ min: 1, max: 6 }).chain((lines) =>
  fc.record({
    weights: fc.array(fc.array(fc.double({ min: -1, max: 2, noNaN: true }), { minLength: lines, maxLength: lines }), {
      minLength: 3,
      maxLength: 3,
    }),
    places: fc.array(
      fc.record({
        strengths: fc.array(unit, { minLength: lines, maxLength: lines }),
        mixed: fc.array(unit, { minLength: 3, maxLength: 3 }),
      }),
      { minLength: 1, maxLength: lines + 1 },
    ),
    noise: fc.array(fc.double({ min: 0.001, max: 0.05, noNaN: true }), { minLength: lines, maxLength: lines }),
    pixels: fc.integer({ min: 1, max: 400 }),
  }),
);

describe('weights that hold places', () => {
  it('are those of the normal equations in the lines', () => {
    fc.assert(
      fc.property(problem, (drawn) => {
        fc.pre(mixNoise(drawn.weights, drawn.noise) > 1e-6);
        const { weights } = heldWeights(drawn, Number.POSITIVE_INFINITY);
        const judge = byNormalEquations(drawn, startOf(drawn));
        const size = Math.max(1, ...judge.flat().map(Math.abs));
        expect(apart(weights, judge) / size).toBeLessThan(1e-6);
      }),
      { numRuns: 300 },
    );
  });

  it('cost at most 1.5 times the noise, and are loosened no more than that takes', () => {
    let loosened = 0;
    fc.assert(
      fc.property(problem, (drawn) => {
        const before = mixNoise(drawn.weights, drawn.noise);
        fc.pre(before > 1e-4);
        const found = heldWeights(drawn);
        expect(found.price).toBeCloseTo(mixNoise(found.weights, drawn.noise) / before, 12);
        expect(found.price).toBeLessThanOrEqual(MOST_PRICE);
        const free = heldWeights(drawn, Number.POSITIVE_INFINITY);
        expect(found.loosened).toBe(free.price > MOST_PRICE);
        if (!found.loosened) return void expect(found.weights).toEqual(free.weights);
        loosened++;
        expect(found.price).toBeGreaterThan(MOST_PRICE - 1e-6);
      }),
      { numRuns: 300 },
    );
    expect(loosened).toBeGreaterThan(20);
  });

  it('meet every wish as τ² goes to 0, with no smaller change that would do', () => {
    const exact: HeldProblem = {
      weights: [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ],
      places: [{ strengths: [0.2, 0.4, 0.6], mixed: [0.5, 0.3, 0.1] }],
      noise: [0.01, 0.02, 0.03],
      pixels: 1e12,
    };
    const { weights } = heldWeights(exact, Number.POSITIVE_INFINITY);
    for (const [band, row] of weights.entries()) {
      const got = row.reduce((sum, w, k) => sum + w * exact.places[0]!.strengths[k]!, 0);
      expect(got).toBeCloseTo(exact.places[0]!.mixed[band]!, 9);
      // Lagrange: a change that is least in Σ (δ·σ)² stands in the ratio e / σ².
      const change = row.map((w, k) => w - exact.weights[band]![k]!);
      const ratios = change.map((d, k) => (d * exact.noise[k]! ** 2) / exact.places[0]!.strengths[k]!);
      expect(ratios[1]! / ratios[0]!).toBeCloseTo(1, 6);
      expect(ratios[2]! / ratios[0]!).toBeCloseTo(1, 6);
    }
  });

  it('stay as they are as τ² goes to infinity', () => {
    fc.assert(
      fc.property(problem, (drawn) => {
        const { weights } = heldWeights({ ...drawn, pixels: 1e-12 }, Number.POSITIVE_INFINITY);
        expect(apart(weights, drawn.weights)).toBeLessThan(1e-4);
      }),
    );
  });

  it('do not depend on the order of the places or, column by column, of the lines', () => {
    fc.assert(
      fc.property(problem, (drawn) => {
        fc.pre(mixNoise(drawn.weights, drawn.noise) > 1e-4);
        const found = heldWeights(drawn).weights;
        const size = Math.max(1, ...found.flat().map(Math.abs));
        const turned = heldWeights({ ...drawn, places: [...drawn.places].reverse() }).weights;
        expect(apart(turned, found) / size).toBeLessThan(1e-6);
        const back = <T>(list: readonly T[]) => [...list].reverse();
        const lines = heldWeights({
          ...drawn,
          weights: drawn.weights.map(back),
          noise: back(drawn.noise),
          places: drawn.places.map(({ strengths, mixed }) => ({ strengths: back(strengths), mixed })),
        }).weights;
        expect(apart(lines.map(back), found) / size).toBeLessThan(1e-6);
      }),
    );
  });

  it('change nothing for a place without light, and without noise before have no price', () => {
    const dark = { strengths: [0, 0], mixed: [0.5, 0.5, 0.5] };
    const weights = [
      [1, 0],
      [0.5, 0.5],
      [0, 1],
    ];
    expect(heldWeights({ weights, places: [dark], noise: [0.01, 0.01], pixels: 9 })).toEqual({
      weights,
      price: 1,
      loosened: false,
    });
    const none = weights.map((row) => row.map(() => 0));
    const lit = { strengths: [0.5, 0.2], mixed: [0.5, 0.5, 0.5] };
    expect(heldWeights({ weights: none, places: [lit], noise: [0.01, 0.01], pixels: 9 })).toMatchObject({
      price: Number.POSITIVE_INFINITY,
      loosened: false,
    });
  });
});

describe('likeness of places', () => {
  it('is the cosine, the largest first', () => {
    const places = [
      [1, 0],
      [0, 2],
      [3, 3],
      [0, 0],
    ].map((strengths) => ({ strengths }));
    const found = likenesses(places);
    expect(found).toHaveLength(6);
    expect(found[0]!.cosine).toBeCloseTo(Math.SQRT1_2, 12);
    expect(found.at(-1)).toMatchObject({ cosine: 0 });
    expect(found.find(({ between }) => between.join() === '0,1')!.cosine).toBe(0);
  });
});
