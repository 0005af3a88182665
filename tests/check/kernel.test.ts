import { describe, expect, it } from 'vitest';
import { fastLevels } from '../../lib/check/lines/fast-levels.ts';
import type { LineLevel } from '../../lib/check/lines/levels.ts';
import { isExempt } from '../../lib/check/lines/piece-scores.ts';
import { plainLevels } from '../../lib/check/lines/plain-levels.ts';
import { fastMeans } from '../../lib/check/planes/fast-means.ts';
import { meanFor, plainMeans } from '../../lib/check/planes/means.ts';
import { createScratch } from '../../lib/plane/scratch.ts';
import { randomNumbers } from '../parity/settled-cases.ts';

const next = randomNumbers(31);
const upTo = (most: number) => 1 + Math.floor(most * next());

/** The scores of a level that are set: places before the first of a line are not, nor pieces that say nothing. */
const setScores = ({ rows, pieces, stride, pad }: LineLevel, scores: Float32Array, height: number): Float32Array[] => {
  const set: Float32Array[] = [];
  for (let piece = 0; piece < pieces && !isExempt(piece, rows, height); piece++)
    for (let shift = 0; shift < rows; shift++) {
      const start = (piece * rows + shift) * stride;
      set.push(scores.slice(start + pad - shift, start + stride));
    }
  return set;
};

describe('the kernel that searches for lines gives the bytes of the plain arithmetic', () => {
  it('for the scores of lines and steps', () => {
    const [fast, plain] = [fastLevels()!, plainLevels(createScratch())];
    let scored = 0;
    for (let i = 0; i < 24; i++) {
      const size = { width: 8 + upTo(60), height: 8 + upTo(60) };
      const count = size.width * size.height;
      const weights = Float32Array.from({ length: count }, () => (next() < 0.1 ? 0 : 1));
      const values = weights.map((weight) => weight * 4 * (next() - 0.5));
      const most = 2 ** Math.ceil(Math.log2(size.height)) / 4;
      const others = plain({ ...size, values }, { ...size, values: weights }, most)[Symbol.iterator]();
      for (const level of fast({ ...size, values }, { ...size, values: weights }, most)) {
        const other = others.next().value!;
        const width = upTo(Math.min(8, level.rows));
        const shape = i % 2 === 0 ? 'line' : 'step';
        const question = { shape, width, height: size.height, least: 1 } as const;
        const [one, two] = [level.scores(question), other.scores(question)];
        expect(one?.spread).toBe(two?.spread);
        expect(Array.from(one?.high ?? [])).toEqual(Array.from(two?.high ?? []));
        if (one) expect(setScores(level, one.scores, size.height)).toEqual(setScores(level, two!.scores, size.height));
        scored += one?.high.length ?? 0;
      }
    }
    expect(scored).toBeGreaterThan(10_000);
  });

  it('for running means', () => {
    const fast = fastMeans()!;
    for (let i = 0; i < 20; i++) {
      const size = { width: upTo(150), height: upTo(60) };
      const values = Float32Array.from({ length: size.width * size.height }, () => 1e4 * (next() - 0.3));
      const mean = meanFor(0.7 + 7 * next());
      const [one, two] = [new Float32Array(values.length), new Float32Array(values.length)];
      fast(values, one, size, mean);
      plainMeans(values, two, size, mean);
      expect(one).toEqual(two);
    }
  });
});
