import { describe, expect, it } from 'vitest';
import { packStars, starsBetween, unpackStars } from '../../lib/stars/star-list.ts';
import { randomNumbers } from '../parity/settled-cases.ts';
import { randomList } from './starry-fields.ts';

describe('a list of stars', () => {
  it('is the same after it was text', () => {
    for (const count of [0, 1, 60, 9000]) {
      const list = randomList(count, { width: 300, height: 200, count });
      const text = JSON.stringify(packStars(list));
      expect(unpackStars(JSON.parse(text))).toEqual(list);
    }
  });

  it('is none where its text was changed', () => {
    const packed = packStars(randomList(7, { width: 300, height: 200 }));
    expect(unpackStars({ ...packed, count: packed.count + 1 })).toBeUndefined();
    expect(unpackStars({ ...packed, data: packed.data.slice(4) })).toBeUndefined();
    expect(unpackStars({ ...packed, data: '€' })).toBeUndefined();
  });

  it('finds the stars of some rows', () => {
    const next = randomNumbers(9);
    for (let i = 0; i < 100; i++) {
      const list = randomList(i, { width: 30, height: 50, count: Math.floor(40 * next()) });
      const [first, last] = [60 * next() - 5, 60 * next() - 5];
      const [from, to] = starsBetween(list, first, last);
      const inside = [...list.y.keys()].filter((s) => list.y[s]! >= first && list.y[s]! <= last);
      expect([...list.y.keys()].slice(from, Math.max(from, to))).toEqual(inside);
    }
  });
});
