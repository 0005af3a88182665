import { describe, expect, it } from 'vitest';
import { FULL, inTurn, pairsOf, SEED, someOf } from '../cases.ts';

describe.skipIf(FULL)('a sample of a grid', () => {
  it('holds every row and every column, and differs with the seed', () => {
    const rows = ['a', 'b', 'c', 'd', 'e', 'f', 'g'];
    const columns = [1, 2, 3];
    const pairs = pairsOf(rows, columns);
    expect(pairs.map(([row]) => row)).toEqual(rows);
    expect(new Set(pairs.map(([, column]) => column)).size).toBe(columns.length);
    expect(pairs[0]![1]).toBe(columns[SEED % columns.length]);
  });

  it('of a list has the length that is asked for, in order and without doubles', () => {
    const all = Array.from({ length: 20 }, (_, i) => i);
    const some = someOf(all, 6);
    expect(some).toHaveLength(6);
    expect([...new Set(some)].sort((a, b) => a - b)).toEqual(some);
    expect(someOf(all, 30)).toEqual(all);
  });

  it('leaves each test its turn: of as many neighbours as there are turns, one', () => {
    expect(inTurn('a')).not.toBe(inTurn('b'));
    expect(['a', 'b', 'c', 'd', 'e'].filter((name) => inTurn(name, 5))).toHaveLength(1);
  });
});
