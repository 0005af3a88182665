import { describe, expect, it } from 'vitest';
import type { LinewashError } from '../../../lib/plane/errors.ts';
import { notePicture, noteText, type PictureNote, parseNote } from '../../../lib/recipe/share/note.ts';
import { faultsOf, SHO } from '../written/fault.ts';

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
    expect(JSON.parse(text)).toEqual({ ...note(recipe), sha256: expect.stringMatching(/^[0-9a-f]{64}$/) });
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

  it('is refused wherever one bit of it is changed, unless it still says the same', async () => {
    const recipe = { name: 'é', matrix: SHO, 'x-own': [{ 2: 'b', 1: 'a' }, -0, 1e-300] };
    const text = noteText(note(recipe));
    const said = JSON.stringify((await parseNote(text)).recipe);
    let refused = 0;
    for (let at = 0; at < text.length; at++)
      for (let bit = 0; bit < 7; bit++) {
        const changed = text.slice(0, at) + String.fromCharCode(text.charCodeAt(at) ^ (1 << bit)) + text.slice(at + 1);
        const outcome = await parseNote(changed, 'a.tif').catch((cause) => cause as LinewashError);
        if ('recipe' in outcome) expect(JSON.stringify(outcome.recipe)).toBe(said);
        else refused++;
        if (!('recipe' in outcome)) expect([outcome.tag, outcome.faults.length]).toEqual(['recipe', 1]);
      }
    // Only the case of a \u escape's digits and blanks between members may change.
    expect(refused).toBeGreaterThan(7 * text.length - 60);
  });

  it('says that it was changed, and what to do', async () => {
    const text = noteText(note({ matrix: SHO })).replace('[1,0,0]', '[2,0,0]');
    await expect(parseNote(text, 'a.tif')).rejects.toMatchObject({
      tag: 'recipe',
      file: 'a.tif',
      message: '$: the recipe in this picture was damaged or changed by hand: it does not match its hash',
      advice: 'use another copy of the picture, or make it again',
    });
    await expect(parseNote(text.replace('sha256', 'sha257'))).rejects.toThrow(/its hash is missing/);
    await expect(parseNote(text.slice(0, -1))).rejects.toThrow(/changed by hand: \$: not valid JSON/);
  });

  it('of an earlier version, without a hash, is believed', async () => {
    expect((await parseNote(JSON.stringify(note({ matrix: SHO })))).recipe).toEqual({ matrix: SHO });
  });

  it('need not hold settled numbers', async () => {
    expect(await parseNote(JSON.stringify({ recipe: { matrix: SHO } }))).toEqual({
      recipe: { matrix: SHO },
      settled: undefined,
    });
  });
});
