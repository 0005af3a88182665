import { describe, expect, it } from 'vitest';
import { halved } from '../../lib/faint/bins.ts';
import { mapFaint } from '../../lib/faint/map.ts';
import { octaveOf } from '../../lib/faint/octave.ts';
import { maskDiscs } from '../../lib/faint/star-discs.ts';
import { randomNumbers } from '../parity/settled-cases.ts';
import { binsOf, noisy, WHITE } from './planes.ts';

const SIZE = { width: 900, height: 600 };

/** Holes as stars leave them. */
const holes = (seed: number, count: number) => {
  const next = randomNumbers(seed);
  return Array.from({ length: count }, () => ({
    x: next() * SIZE.width,
    y: next() * SIZE.height,
    radius: 3 + 10 * next(),
  }));
};

describe('noise alone', () => {
  it('spreads by 1 at every scale, between holes too', () => {
    let bins = binsOf(noisy(SIZE.width, SIZE.height, 901), SIZE.width);
    maskDiscs(bins, holes(902, 300));
    for (const allowed of [0.02, 0.04, 0.08]) {
      const { z } = octaveOf(bins, WHITE);
      const known = z.filter((value) => !Number.isNaN(value));
      const spread = Math.sqrt(known.reduce((sum, value) => sum + value * value, 0) / known.length);
      expect(Math.abs(spread - 1)).toBeLessThan(allowed);
      bins = halved(bins);
    }
  });

  it('makes as many blobs as stated, bright and dark', () => {
    // 4 frames at 12 blobs each: 48 expected, of which the largest scale, hardly known here, makes fewer. √48 ≈ 7.
    let [bright, dark] = [0, 0];
    for (let seed = 911; seed < 915; seed++) {
      const bins = binsOf(noisy(SIZE.width, SIZE.height, seed), SIZE.width);
      maskDiscs(bins, holes(seed, 150));
      const { scales } = mapFaint(bins, WHITE, { falseBlobs: 12, largest: 32, flats: () => 0 });
      for (const scale of scales) [bright, dark] = [bright + scale.bright, dark + scale.dark];
    }
    for (const found of [bright, dark]) {
      expect(found).toBeGreaterThan(24);
      expect(found).toBeLessThan(68);
    }
  });
});
