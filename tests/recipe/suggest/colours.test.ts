import { converter, differenceCiede2000 } from 'culori';
import { describe, expect, it } from 'vitest';
import { dot, type Matrix } from '../../../lib/plane/linear.ts';
import { beginning, hueErrors } from '../../../lib/recipe/suggest/closed-form.ts';
import { fieldOf } from '../../../lib/recipe/suggest/coloured.ts';
import { FAMILIES, huesFor, hueWord } from '../../../lib/recipe/suggest/families.ts';
import { judge, plainMatrix } from '../../../lib/recipe/suggest/judge.ts';
import { judgedOf, LIMITS, worth } from '../../../lib/recipe/suggest/limits.ts';
import { pairs } from '../../../lib/recipe/suggest/pair.ts';
import { affordable, weightsAt, writtenWeights } from '../../../lib/recipe/suggest/proposal.ts';
import type { LineSample } from '../../../lib/recipe/suggest/sample.ts';
import { searchNear } from '../../../lib/recipe/suggest/search.ts';
import { suggestMixes, weakLines } from '../../../lib/recipe/suggest/suggest.ts';
import { inTurn } from '../../cases.ts';
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

describe('families of hues', () => {
  const sample = invented(['S', 'H', 'O'], [0.09, 0.04, 0.09], [0.002, 0.002, 0.002]);
  const field = fieldOf(sample);

  it.each(FAMILIES.map((family) => [family.id, family] as const))('bring lines near the hues of %s', (_, family) => {
    const hues = huesFor(family, sample.names);
    const { matrix, error } = searchNear(field, hues);
    expect(error).toBeLessThanOrEqual(30);
    const judged = judgedOf(matrix, field);
    expect(Math.max(...hueErrors(judged, hues))).toBe(error);
    expect(judged.sky).toBeLessThanOrEqual(1.05 * field.sky);
    expect(judged.norm).toBeLessThanOrEqual(1.05 * LIMITS.norm);
    // Equal lines stay grey: rows sum to 1 as they are written.
    for (const row of matrix) expect(row.reduce((sum, w) => sum + w, 0)).toBeCloseTo(1, 9);
    // The search leaves no family worse than where it began.
    expect(worth(judged)).toBeGreaterThan(0.9 * worth(judgedOf(beginning(field, hues), field)));
  });

  it('are those of the wavelengths: two red lines and one blue, or one red and two', () => {
    const [family] = FAMILIES;
    expect(huesFor(family!, ['S', 'H', 'O'])).toEqual(family!.twoRed);
    expect(huesFor(family!, ['H', 'O', 'Hb'])).toEqual(family!.oneRed);
    expect(['30', '75', '145', '235', '330', '-10', '359'].map(Number).map(hueWord)).toEqual([
      'red',
      'gold',
      'green',
      'blue',
      'magenta',
      'rose',
      'rose',
    ]);
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

  it.skipIf(!inTurn('three lines'))(
    'compare with the three lines that have most signal for their noise, in the order of wavelengths',
    () => {
      const names = ['O', 'N', 'S', 'H', 'Hb'];
      const sample = invented(names, [0.1, 0.1, 0.1, 0.1, 0.1], [0, 0, 0, 0, 0]);
      const plainOf = (noise: readonly number[]) => suggestMixes({ ...sample, noise }).plain.channels;
      expect(plainOf([0.01, 0.05, 0.01, 0.01, 0.05])).toEqual(['S', 'H', 'O']);
      expect(plainOf([0.05, 0.01, 0.05, 0.01, 0.01])).toEqual(['N', 'H', 'Hb']);
      expect(plainOf([0, 0.01, 0.05, 0.05, 0.01])).toEqual(['N', 'O', 'Hb']);
    },
  );

  it('call weak what scatters no more than one and a half times its noise, and what does not scatter', () => {
    const covariance = [0.03, 0.0299, 0.0301, 0].map((s, i) => [0, 1, 2, 3].map((j) => (i === j ? s ** 2 : 0)));
    const sample = { names: ['S', 'H', 'O', 'N'], covariance, noise: [0.01, 0.02, 0.02, 0] } as unknown as LineSample;
    expect(weakLines(sample)).toEqual(['H', 'N']);
  });
});
