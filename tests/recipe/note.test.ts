import { describe, expect, it } from 'vitest';
import { notePicture, noteText, type PictureNote, parseNote } from '../../lib/recipe/note.ts';
import { faultsOf, SHO } from './fault.ts';

const plain = { sample: 'u16', usual: 'u16' } as const;

describe('what a note says of how its picture was written', () => {
  it.each([
    [{}, {}],
    [{ alpha: false, crop: false, size: undefined }, {}],
    [{ sample: 'f32' }, { picture: { sample: 'f32' } }],
    [{ sample: 'f32', usual: 'f32' }, {}],
    [{ usual: 'f32' }, { picture: { sample: 'u16' } }],
    [{ alpha: true }, { picture: { alpha: true } }],
    [{ crop: true }, { picture: { crop: true } }],
    [{ size: 800 }, { picture: { size: 800 } }],
    [
      { sample: 'u8', alpha: true, crop: true, size: 4 },
      { picture: { sample: 'u8', alpha: true, crop: true, size: 4 } },
    ],
  ] as const)('is nothing but what is unusual: %j', (wish, note) => {
    expect(notePicture({ ...plain, ...wish })).toEqual(note);
  });
});

describe('the note of a picture', () => {
  const settled = { channels: [], matrix: [] } as unknown as PictureNote['settled'];
  const note = (recipe: object): PictureNote =>
    ({ linewash: 2, recipe, settled, inputs: [], writer: '0' }) as PictureNote;

  it('is ASCII whatever the words of the recipe are, and gives them back', async () => {
    const recipe = { name: 'Türkis – 青 🌌 \u007f', about: '"quoted"\n\\', matrix: SHO };
    const text = noteText(note(recipe));
    expect([...text].every((c) => c >= ' ' && c <= '~')).toBe(true);
    expect(text).toContain('T\\u00fcrkis');
    expect(JSON.parse(text)).toEqual(note(recipe));
    expect(await parseNote(text)).toEqual({ recipe, settled });
  });

  it('is refused where it is none, or holds a recipe at fault', async () => {
    for (const text of ['{}', '[]', 'null', '7', '"recipe"'])
      expect(await faultsOf(() => parseNote(text, 'a.tif'))).toMatchObject([{ path: '$' }]);
    await expect(parseNote('not JSON')).rejects.toMatchObject({ tag: 'recipe' });
    await expect(parseNote('{"recipe": {"matrix": 5}}')).rejects.toMatchObject({ tag: 'recipe' });
    const unknown = { knobs: {}, matrix: [['k', 0, 0], SHO[1], SHO[2]] };
    await expect(parseNote(JSON.stringify({ recipe: unknown }))).rejects.toMatchObject({ tag: 'recipe' });
    const infinite = { knobs: { k: { value: 0 } }, matrix: [['1 / k', 0, 0], SHO[1], SHO[2]] };
    await expect(parseNote(JSON.stringify({ recipe: infinite }), 'a.tif')).rejects.toMatchObject({ file: 'a.tif' });
  });

  it('need not hold settled numbers', async () => {
    expect(await parseNote(JSON.stringify({ recipe: { matrix: SHO } }))).toEqual({
      recipe: { matrix: SHO },
      settled: undefined,
    });
  });
});
