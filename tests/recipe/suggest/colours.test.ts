import { converter, differenceCiede2000 } from 'culori';
import { describe, expect, it } from 'vitest';
import { dot, type Matrix } from '../../../lib/plane/linear.ts';
import { judge, plainMatrix } from '../../../lib/recipe/suggest/judge.ts';
import { pairs } from '../../../lib/recipe/suggest/pair.ts';
import { affordable, type Proposal, weightsAt, writtenWeights } from '../../../lib/recipe/suggest/proposal.ts';
import { type LineSample, sampleOf } from '../../../lib/recipe/suggest/sample.ts';
import { suggestMixes, weakLines } from '../../../lib/recipe/suggest/suggest.ts';
import { quiet, widest } from '../../../lib/recipe/suggest/wide.ts';
import { invented } from './lines.ts';

const toOklab = converter('oklab');
const display = (matrix: Matrix, lines: readonly number[]) => {
  const [r, g, b] = matrix.map((row) => dot(row, lines)) as [number, number, number];
  return { mode: 'rgb', r, g, b } as const;
};
const labOf = (matrix: Matrix, lines: readonly number[]) => {
  const { a, b } = toOklab(display(matrix, lines));
  return [Number(a), Number(b)] as const;
};
const pixels = ({ names, values }: LineSample) =>
  Array.from({ length: values.length / names.length }, (_, i) => [
    ...values.subarray(i * names.length, (i + 1) * names.length),
  ]);
/** Variance of OKLab a and b along a direction. */
const varianceAlong = (chromas: readonly (readonly [number, number])[], angle: number) => {
  const along = chromas.map(([a, b]) => a * Math.cos(angle) + b * Math.sin(angle));
  const mean = along.reduce((s, v) => s + v, 0) / along.length;
  return along.reduce((s, v) => s + (v - mean) ** 2, 0) / along.length;
};
const ANGLES = Array.from({ length: 720 }, (_, i) => (i * Math.PI) / 720);

describe('what is said of a matrix', () => {
  const two = invented(['H', 'O'], [0.05, 0.08], [0.01, 0.02]);
  const three = invented(['S', 'H', 'O'], [0.03, 0.04, 0.06], [0.01, 0.02, 0.02]);

  it('is for two lines the largest variance of their colours, by an independent program', () => {
    const matrix = plainMatrix(2);
    const chromas = pixels(two).map((lines) => labOf(matrix, lines));
    const largest = Math.max(...ANGLES.map((angle) => varianceAlong(chromas, angle)));
    expect(judge(matrix, two).spread / largest).toBeCloseTo(1, 3);
  });

  it('is for three the root of largest times smallest variance', () => {
    const matrix = plainMatrix(3);
    const chromas = pixels(three).map((lines) => labOf(matrix, lines));
    const all = ANGLES.map((angle) => varianceAlong(chromas, angle));
    expect(judge(matrix, three).spread / Math.sqrt(Math.max(...all) * Math.min(...all))).toBeCloseTo(1, 2);
  });

  it('is how far apart its two most alike lines are, by an independent program', () => {
    const matrix = [
      [0.9, 0.2, 0.1],
      [0.1, 0.5, 0.3],
      [0.1, 0.3, 0.8],
    ];
    const colours = [0, 1, 2].map((line) =>
      display(
        matrix,
        [0, 1, 2].map((c) => Number(c === line)),
      ),
    );
    const difference = differenceCiede2000();
    const apart = [
      [0, 1],
      [0, 2],
      [1, 2],
    ].map(([i, j]) => difference(colours[i!]!, colours[j!]!));
    // Different whites of Lab: D50 there, D65 here.
    expect(judge(matrix, three).separation / Math.min(...apart)).toBeCloseTo(1, 0);
  });

  it('is the share of the sample that it cannot show', () => {
    const matrix = [
      [2, -0.5, -0.5],
      [0, 1, 0],
      [0, 0, 1],
    ];
    const out = pixels(three).filter((lines) => matrix.some((row) => dot(row, lines) < 0 || dot(row, lines) > 1));
    expect(out.length).toBeGreaterThan(10);
    expect(judge(matrix, three).outside).toBeCloseTo(out.length / pixels(three).length, 12);
    expect(judge(plainMatrix(3), three).outside).toBe(0);
  });
});

describe('mixes of two lines', () => {
  const samples = [invented(['H', 'O'], [0.05, 0.08], [0.01, 0.01]), invented(['O', 'H'], [0.08, 0.05], [0.01, 0.01])];

  it.each(samples.map((sample) => [sample.names.join(' and '), sample] as const))(
    'make the longer wavelength warm and the shorter cool: %s',
    (_, sample) => {
      const found = pairs(sample);
      expect(new Set(found.map(({ id }) => id)).size).toBe(3);
      for (const proposal of found) {
        const matrix = writtenWeights(proposal);
        const lines = (h: number, o: number) => sample.names.map((name) => (name === 'H' ? h : o));
        const [warmA, warmB] = labOf(matrix, lines(0.5, 0.3));
        const [coolA, coolB] = labOf(matrix, lines(0.3, 0.5));
        expect(warmA, proposal.id).toBeGreaterThan(0.01);
        expect(coolA, proposal.id).toBeLessThan(-0.001);
        expect(warmB - coolB, proposal.id).toBeGreaterThan(0.01);
        const { name, value, min, max } = proposal.knob;
        expect(name).not.toBe('');
        expect([min <= value, value <= max, min < max]).toEqual([true, true, true]);
      }
    },
  );

  it('give red and blue a line each where green is shared, so that both move it equally', () => {
    for (const sample of samples) {
      const shared = pairs(sample).find(({ id }) => id === 'shared-green')!;
      const [h, o] = [sample.names.indexOf('H'), sample.names.indexOf('O')] as [number, number];
      const [red, green, blue] = writtenWeights(shared) as [number[], number[], number[]];
      expect([red[h], red[o], blue[h], blue[o]]).toEqual([1, 0, 0, 1]);
      expect(green[h]! + green[o]!).toBeCloseTo(1, 9);
      const scatter = (c: number) => Math.sqrt(sample.covariance[c]![c]!);
      expect((green[h]! * scatter(h)) / (green[o]! * scatter(o))).toBeCloseTo(1, 1);
      // At its ends the knob gives green to one line alone.
      for (const [knob, line] of [
        [1, h],
        [0, o],
      ] as const)
        expect(weightsAt(shared, knob)[1]).toEqual(sample.names.map((_, c) => Number(c === line)));
    }
  });
});

describe('wide mixes', () => {
  // S and O differ most; H departs from both.
  const sample = invented(['S', 'H', 'O'], [0.09, 0.04, 0.09], [0.01, 0.01, 0.01]);
  const hueMove = (proposal: Proposal, change: readonly number[]) => {
    const matrix = writtenWeights(proposal);
    const [a, b] = labOf(
      matrix,
      change.map((d) => 0.35 + d),
    );
    return [a, b] as const;
  };

  it('turn amber where the warm line is the stronger, blue where the cool one is, and grey where all are equal', () => {
    for (const names of [
      ['S', 'H', 'O'],
      ['O', 'H', 'S'],
    ]) {
      const named = { ...sample, names };
      for (const proposal of widest(named)) {
        const towards = (sign: number) =>
          hueMove(
            proposal,
            names.map((n) => sign * (n === 'S' ? 0.03 : n === 'O' ? -0.03 : 0)),
          );
        expect(towards(1)[1], `${proposal.id} of ${names}`).toBeGreaterThan(0.01);
        expect(towards(-1)[1], `${proposal.id} of ${names}`).toBeLessThan(-0.01);
        for (const part of hueMove(proposal, [0, 0, 0])) expect(Math.abs(part)).toBeLessThan(2e-3);
      }
    }
  });

  it('turn green or rose, as they are called, where the line between departs from the others', () => {
    const found = widest(sample);
    expect(found.map(({ id }) => id)).toEqual(['amber-to-blue-green', 'amber-to-blue-rose']);
    const [green, rose] = found.map((proposal) => hueMove(proposal, [-0.01, 0.02, -0.01])[0]);
    expect(green).toBeLessThan(-0.005);
    expect(rose).toBeGreaterThan(0.005);
    for (const { why } of found) expect(why).toMatch(/S against O.*H departs/);
  });
});

describe('a quiet mix', () => {
  const noisy = invented(['S', 'N', 'H', 'O'], [0.06, 0.06, 0.06, 0.06], [0.01, 0.06, 0.01, 0.01]);
  const plain = judge(plainMatrix(3), sampleOf(noisy, ['S', 'H', 'O']));

  it('has the colours of a plain mix for less noise, by saying less of the noisy line', () => {
    const [found] = quiet(noisy, plain.spread);
    const weights = weightsAt(found!, 1);
    const { spread, screenNoise } = judge(weights, noisy);
    expect(spread / plain.spread).toBeGreaterThanOrEqual(1);
    expect(spread / plain.spread).toBeLessThan(1.05);
    expect(screenNoise).toBeLessThan(0.5);
    const said = (line: number) => Math.hypot(...found!.change.map((row) => row[line]!));
    for (const calm of [0, 2, 3]) expect(said(1)).toBeLessThan(0.2 * said(calm));
    for (const row of weights) expect(row.reduce((x, y) => x + y, 0)).toBeCloseTo(1, 9);
  });

  it('is none where no noise is known, where lines are alike in noise, or where colours cannot be reached', () => {
    expect(quiet({ ...noisy, noise: [0, 0, 0, 0] }, plain.spread)).toEqual([]);
    expect(quiet(noisy, 1e3 * plain.spread)).toEqual([]);
    const even = invented(['S', 'H', 'O'], [0.05, 0.05, 0.05], [0.02, 0.02, 0.02]);
    expect(quiet(even, 1.5 * judge(plainMatrix(3), even).spread)).toEqual([]);
  });

  it('and the others stay finite where a line has no noise', () => {
    const { suggestions } = suggestMixes({ ...noisy, noise: [0, 0.06, 0.01, 0.01] });
    expect(suggestions.length).toBeGreaterThanOrEqual(4);
    for (const { id, matrix, gain } of suggestions)
      expect([gain, ...matrix.flat()].every(Number.isFinite), id).toBe(true);
  });
});

describe('limits and choices', () => {
  it('go as far as is asked where the budget allows it', () => {
    const sample = invented(['S', 'H', 'O'], [0.03, 0.04, 0.06], [0.01, 0.02, 0.02]);
    const parts = { base: plainMatrix(3), change: plainMatrix(3).map((row) => row.map(() => 0)) };
    expect(affordable(parts, sample, { noise: 1.45, excess: 1 }, 8)).toBe(8);
    // Noise of the plain rows times 1 + knob: 1.45 at 0.45.
    const growing = { base: plainMatrix(3), change: plainMatrix(3) };
    expect(affordable(growing, sample, { noise: 1.45, excess: 9 }, 8)).toBeCloseTo(0.45, 3);
    // The first colour leaves 1 by what the brightest of its line does: nothing of that is allowed here.
    expect(
      affordable(growing, { ...sample, values: Float64Array.of(0.8, 0, 0) }, { noise: 9, excess: 0 }, 8),
    ).toBeCloseTo(0.25, 3);
  });

  it('compare with the three lines that have most signal for their noise, in the order of wavelengths', () => {
    const names = ['O', 'N', 'S', 'H', 'Hb'];
    const sample = invented(names, [0.1, 0.1, 0.1, 0.1, 0.1], [0, 0, 0, 0, 0]);
    const plainOf = (noise: readonly number[]) => suggestMixes({ ...sample, noise }).plain.channels;
    expect(plainOf([0.01, 0.05, 0.01, 0.01, 0.05])).toEqual(['S', 'H', 'O']);
    expect(plainOf([0.05, 0.01, 0.05, 0.01, 0.01])).toEqual(['N', 'H', 'Hb']);
    expect(plainOf([0, 0.01, 0.05, 0.05, 0.01])).toEqual(['N', 'O', 'Hb']);
  });

  it('call weak what scatters no more than one and a half times its noise, and what does not scatter', () => {
    const covariance = [0.03, 0.0299, 0.0301, 0].map((s, i) => [0, 1, 2, 3].map((j) => (i === j ? s ** 2 : 0)));
    const sample = { names: ['S', 'H', 'O', 'N'], covariance, noise: [0.01, 0.02, 0.02, 0] } as unknown as LineSample;
    expect(weakLines(sample)).toEqual(['H', 'N']);
  });
});
