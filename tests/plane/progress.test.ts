import { describe, expect, it } from 'vitest';
import { inHalves, ofPieces } from '../../lib/plane/progress.ts';

describe('progress', () => {
  it('of two stages runs once from 0 to 1', () => {
    const told: number[] = [];
    const [first, second] = inHalves((done) => told.push(done));
    for (const stage of [first, second]) for (const done of [0, 0.5, 1]) stage(done);
    expect(told).toEqual([0, 0.25, 0.5, 0.5, 0.75, 1]);
  });

  it('of pieces done at the same time is their mean and never goes back', () => {
    const told: number[] = [];
    const piece = ofPieces(2, (done) => told.push(done));
    piece(0)(0.5);
    piece(1)(1);
    // A second pass over the same piece.
    piece(0)(0.1);
    piece(0)(1);
    expect(told).toEqual([0.25, 0.75, 0.75, 1]);
  });

  it('may be told to nobody', () => {
    expect(() => inHalves(undefined)[1](0.5)).not.toThrow();
    expect(() => ofPieces(1, undefined)(0)(1)).not.toThrow();
  });
});
