import { describe, expect, it } from 'vitest';
import { combineLine } from '../../../lib/recipe/settle/combine-line.ts';
import { asSource, drawSky, expose } from '../../prepare/combining/sky.ts';

const OPTIONS = { width: 640, height: 480, stars: 300 };
const sky = drawSky(1201, OPTIONS);
const first = asSource('first.fits', sky, expose(sky, 10, 1202));
const moved = (right: number) => asSource('second.fits', sky, expose(drawSky(1201, { ...OPTIONS, right }), 10, 1203));

describe('masters of one line', () => {
  it('that hold the same picture twice are refused by name, whatever their units', async () => {
    const data = expose(sky, 10, 1202);
    for (const copy of [data.slice(), data.map((v) => 2 * v + 3)]) {
      const twin = asSource('twin.fits', sky, copy);
      await expect(combineLine([first, twin])).rejects.toMatchObject({
        tag: 'input',
        message: expect.stringMatching(/twin\.fits and first\.fits hold the same picture twice/),
      });
    }
  });

  it('of different sizes are refused before anything is read', async () => {
    const other = { ...moved(0), height: 479, readRows: () => Promise.reject(new Error('read')) };
    await expect(combineLine([first, other])).rejects.toMatchObject({
      tag: 'input',
      message: expect.stringMatching(/second\.fits is 640 × 479 pixels, first\.fits is 640 × 480/),
    });
  });

  it('in place are combined without a word', async () => {
    const { parts, gain, warnings } = await combineLine([first, moved(0)]);
    expect(warnings).toEqual([]);
    expect(parts).toHaveLength(2);
    expect(gain).toBeGreaterThan(1.3);
  });

  it('half a pixel apart are warned of', async () => {
    const { warnings } = await combineLine([first, moved(0.5)]);
    expect(warnings[0]).toMatch(/second\.fits lies up to 0\.[4-6] px off first\.fits/);
  });

  it('three pixels apart are refused unless they are to be combined all the same', async () => {
    await expect(combineLine([first, moved(3)])).rejects.toMatchObject({
      tag: 'input',
      message: expect.stringMatching(/second\.fits lies up to [23]\.\d px off first\.fits/),
      advice: expect.stringMatching(/combine them anyway$/),
      remedy: { option: 'apart' },
    });
    const { parts, warnings } = await combineLine([first, moved(3)], { apart: true });
    expect(parts).toHaveLength(2);
    expect(warnings[0]).toMatch(/px off/);
  });
});
