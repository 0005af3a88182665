import { describe, expect, it } from 'vitest';
import { filterFaults, lineIn } from '../../lib/measure/filters.ts';

describe('the line a text speaks of', () => {
  it.each([
    ['S', ['S II', 'SII', '[S II] 6716', 'Sulfur', 'Sulphur', 'F673N', 's2', 'master_SII_300s.fits', 'S', 'S -- II']],
    // Wavelengths alone, in ångström and in nanometres: air wavelengths of the NIST Atomic Spectra Database, rounded.
    ['S', ['6716', '6731', '672nm', '671 n', 's673', 'f672n']],
    ['H', ['6563', '656', '656 nm', 'f656n', 'h656']],
    ['O', ['5007', '501nm', '500', 'o502', 'f502n']],
    ['N', ['6583', '6584 nm', '658nm', 'n658']],
    ['Hb', ['4861', '486nm', 'f486n', 'H - beta']],
    ['He', ['4686', '469nm', 'helium', 'He']],
    ['H', ['H-alpha', 'Ha', 'Hα 3nm', 'HYDROGEN', 'F656N', '656nm', 'H', 'emberwing-H.fits']],
    ['O', ['O III', 'OIII', 'O3', '[O III] 5007', 'F502N', 'Oxygen', 'o-iii.tif']],
    ['N', ['N II', 'NII', 'F658N']],
    ['Hb', ['H-beta', 'Hb', 'Hβ']],
    ['He', ['He II', 'HeII', 'F469N']],
  ])('%s', (line, texts) => {
    expect(texts.map(lineIn)).toEqual(texts.map(() => line));
  });

  it.each([
    '',
    'Luminance',
    'clear',
    'OIII + Ha',
    'night 3',
    'Hubble',
    '67',
    '6700',
    '656x',
    '16563',
    'o5007x',
    'siii',
  ])('none in %j', (text) => {
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
