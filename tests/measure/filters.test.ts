import { describe, expect, it } from 'vitest';
import { filterFaults, lineIn } from '../../lib/measure/filters.ts';

describe('the line a text speaks of', () => {
  it.each([
    ['S', ['S II', 'SII', '[S II] 6716', 'Sulfur', 'F673N', 's2', 'master_SII_300s.fits', 'S']],
    ['H', ['H-alpha', 'Ha', 'Hα 3nm', 'HYDROGEN', 'F656N', '656nm', 'H', 'emberwing-H.fits']],
    ['O', ['O III', 'OIII', 'O3', '[O III] 5007', 'F502N', 'Oxygen', 'o-iii.tif']],
    ['N', ['N II', 'NII', 'F658N']],
    ['Hb', ['H-beta', 'Hb', 'Hβ']],
    ['He', ['He II', 'HeII', 'F469N']],
  ])('%s', (line, texts) => {
    expect(texts.map(lineIn)).toEqual(texts.map(() => line));
  });

  it.each(['', 'Luminance', 'clear', 'OIII + Ha', 'night 3', 'Hubble'])('none in %j', (text) => {
    expect(lineIn(text)).toBeUndefined();
  });
});

describe('filters against names', () => {
  const master = (name: string, filter?: string) => ({ name, file: `${name}.fits`, filter });

  it('are silent where they agree or say nothing', () => {
    expect(filterFaults([master('S', 'S II'), master('Halpha', 'Ha'), master('O'), master('X', 'O III')])).toEqual([]);
  });

  it('name what the header says', () => {
    expect(filterFaults([master('H', 'S II')])).toEqual([
      {
        name: 'H',
        found: 'S',
        words: 'H.fits: given as H, but its header says the filter is "S II"; is it the S master?',
      },
    ]);
  });

  it('see two that are swapped', () => {
    const [first, second] = filterFaults([master('S', 'O III'), master('H', 'Ha'), master('O', 'S II')]);
    expect(first!.words).toContain('S and O look swapped');
    expect(second!.words).toContain('O and S look swapped');
    expect([first!.swappedWith, second!.swappedWith]).toEqual(['O', 'S']);
  });
});
