import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CHANNEL_NAME, nearest } from '../../lib/plane/name.ts';

/**
 * Optimal string alignment by its definition: the fewest insertions, deletions, replacements and swaps of neighbours
 * (F. Damerau, Commun. ACM 7(3) 171–176, 1964), no letter touched twice.
 */
const distance = (a: string, b: string): number => {
  if (a === '' || b === '') return a.length + b.length;
  const [x, y] = [a.slice(1), b.slice(1)];
  const ways = [distance(x, b) + 1, distance(a, y) + 1, distance(x, y) + (a[0] === b[0] ? 0 : 1)];
  if (a.length > 1 && b.length > 1 && a[0] === b[1] && a[1] === b[0]) ways.push(distance(a.slice(2), b.slice(2)) + 1);
  return Math.min(...ways);
};
const word = (maxLength: number) => fc.string({ unit: fc.constantFrom('a', 'b', 'c'), maxLength });
const wordOf = (minLength: number, maxLength: number) =>
  fc.string({ unit: fc.constantFrom('a', 'b', 'c'), minLength, maxLength });

describe('the nearest of several words', () => {
  it('is one only where it is near: within half the letters typed, or two', () => {
    fc.assert(
      fc.property(word(6), wordOf(1, 6), (typed, other) => {
        const near = distance(typed, other) <= Math.max(2, Math.floor(typed.length / 2));
        expect(nearest(typed, [other])).toBe(near ? other : undefined);
      }),
      { numRuns: 300 },
    );
  });

  it('is the one with the fewest changes, the first of those', () => {
    fc.assert(
      fc.property(word(5), fc.array(wordOf(1, 5), { maxLength: 5 }), (typed, others) => {
        const distances = others.map((other) => distance(typed, other));
        const least = Math.min(...distances);
        const wanted =
          least <= Math.max(2, Math.floor(typed.length / 2)) ? others[distances.indexOf(least)] : undefined;
        expect(nearest(typed, others)).toBe(wanted);
      }),
      { numRuns: 200 },
    );
  });

  it.each([
    ['recipee', 'recipe'],
    ['strecth', 'stretch'],
    ['STRETCH', 'stretch'],
    ['mtrix', 'matrix'],
    ['quite something else', undefined],
  ])('of a few keys to %s is %s', (typed, wanted) => {
    expect(nearest(typed, ['recipe', 'matrix', 'stretch'])).toBe(wanted);
  });

  it('may be written in capitals itself', () => expect(nearest('oiii', ['SII', 'OIII'])).toBe('OIII'));
});

describe('a channel’s name', () => {
  it.each(['S', 'Ha', 'O-III', 'a_b+c9', 'x'.repeat(24)])('may be %s', (name) => expect(name).toMatch(CHANNEL_NAME));
  it.each(['', '1S', '-a', 'a b', 'a/b', 'ä', 'S.', 'S\n', 'x'.repeat(25), ' S'])('may not be %j', (name) =>
    expect(name).not.toMatch(CHANNEL_NAME),
  );
});
