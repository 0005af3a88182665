import { describe, expect, it } from 'vitest';
import { lineIn } from '../../../lib/measure/filters.ts';
import { byChannel, channelFor } from '../../../lib/recipe/written/channel-for.ts';

const SPELLINGS: Readonly<Record<string, readonly string[]>> = {
  S: ['S', 's', 'SII', 'S2', 's_ii', 'Sulphur', 'sulfur', 'S-II', '672nm', 'F673N'],
  H: ['H', 'h', 'Ha', 'ha', 'HA', 'H-alpha', 'Halpha', 'Hα', 'H_a', 'hydrogen', '656nm', 'F656N'],
  O: ['O', 'o', 'OIII', 'O3', 'oiii', 'O-III', 'O III', 'oxygen', '501nm', 'F502N'],
};

describe('a word for a channel', () => {
  it.each(Object.keys(SPELLINGS))('is every spelling by which headers and names are known: %s', (line) => {
    for (const word of SPELLINGS[line]!) {
      expect(lineIn(word), word).toBe(line);
      expect(channelFor(word, ['S', 'H', 'O']), word).toBe(line);
      // The recipe may have a spelling of its own.
      expect(channelFor(word, SPELLINGS[line]!.slice(2, 3)), word).toBe(SPELLINGS[line]![2]);
    }
  });

  it('is a channel of that very name before all else, then one in other capitals', () => {
    expect(channelFor('Ha', ['H', 'Ha'])).toBe('Ha');
    expect(channelFor('HA', ['H', 'Ha'])).toBe('Ha');
    expect(channelFor('cont', ['H', 'Cont'])).toBe('Cont');
  });

  it('is none where it is not plain', () => {
    expect(channelFor('Ha', ['Halpha', 'H656'])).toBeUndefined();
    expect(channelFor('Hb', ['S', 'H', 'O'])).toBeUndefined();
    expect(channelFor('red', ['S', 'H', 'O'])).toBeUndefined();
    expect(channelFor('', ['S'])).toBeUndefined();
  });

  it('sorts what is given; the own name of a channel counts for more than a spelling', () => {
    expect([...byChannel({ Ha: 1, H: 2, halpha: 3, OIII: 4, red: 5 }, ['H', 'O'])]).toEqual([
      ['H', 2],
      ['O', 4],
    ]);
  });
});
