import { describe, expect, it } from 'vitest';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import type { Match } from '../../../lib/prepare/match.ts';
import { combinationNotes, combinationsOf, withCombinations } from '../../../lib/recipe/settle/combinations.ts';
import type { Settled } from '../../../lib/recipe/settle/settled.ts';

const part = (file: string, weight: number, scale = 1, offset = 0) => ({
  source: planeSource(file, { width: 1, height: 1, data: Float32Array.of(1) }),
  scale,
  offset,
  weight,
  noise: 1,
});
const match: Match = {
  parts: [part('nights/of spring/O-1.fits', 0.2), part('C:\\nights\\O-2.fits', 0.8, 1.5, -3)],
  gain: 1.25,
  warnings: ['they hardly agree'],
};
const channel = (name: string) => ({ name, background: 1, black: 0, white: 2, stretch: { curve: 'linear' } });
const settled = { channels: [channel('H'), channel('O')], matrix: [], space: 'srgb' } as unknown as Settled;

describe('masters combined from several files', () => {
  it('are noted with their line, and files without folders', () => {
    const found = withCombinations(settled, [{ name: 'H' }, { name: 'O', match }]);
    expect(found).toEqual({
      ...settled,
      channels: [
        channel('H'),
        {
          ...channel('O'),
          combined: [
            { file: 'O-1.fits', scale: 1, offset: 0, weight: 0.2 },
            { file: 'O-2.fits', scale: 1.5, offset: -3, weight: 0.8 },
          ],
        },
      ],
    });
  });

  it('change nothing where there are none, or where their line is not used', () => {
    expect(withCombinations(settled, [{ name: 'H' }, { name: 'O' }])).toEqual(settled);
    expect(withCombinations(settled, [{ name: 'S', match }])).toEqual(settled);
  });

  it('are told of with their number, shares and gain, and what stood in the way', () => {
    const notes = combinationNotes([{ name: 'H' }, { name: 'O', match }]);
    expect(notes).toHaveLength(2);
    for (const word of ['O', '2', '20 %', '80 %', '1.25']) expect(notes[0]).toContain(word);
    expect(notes[1]).toBe('they hardly agree');
    expect(combinationNotes([{ name: 'H' }])).toEqual([]);
  });

  it('tell what was left out of each, and where', () => {
    const mask = { width: 1, height: 1, stride: 1, bits: Uint8Array.of(1) };
    const largest = [
      { x: 40, y: 7, width: 300, height: 20, pixels: 800 },
      { x: 1, y: 2, width: 3, height: 3, pixels: 9 },
    ];
    const [first, second] = match.parts;
    const parts = [{ ...first!, outliers: { mask, pixels: 809, share: 0.01234, largest } }, second!];
    const notes = combinationNotes([{ name: 'O', match: { ...match, parts } }]);
    expect(notes).toHaveLength(3);
    for (const word of ['O-1.fits', '809', '1.2 %', '40,7', '300 × 20']) expect(notes[1]).toContain(word);
    const told = { pixels: 809, share: 0.01234, largest };
    const [line] = combinationsOf([{ name: 'H' }, { name: 'O', match: { ...match, parts } }]);
    expect(line).toMatchObject({ line: 'O', gain: 1.25, parts: [{ noise: 1, outliers: told }, { noise: 1 }] });
    expect(line!.parts[1]).not.toHaveProperty('outliers');
    const noted = withCombinations(settled, [{ name: 'O', match: { ...match, parts } }]);
    expect(noted.channels[1]!.combined![0]!.outliers).toEqual(told);
  });

  it('promise no gain where none is known', () => {
    const { gain: _, ...unknown } = match;
    expect(combinationNotes([{ name: 'O', match: unknown }])[0]).toBe('O: 2 masters combined (20 % + 80 %)');
  });
});
