import { describe, expect, it } from 'vitest';
import { isColourPicture, openColourPlanes } from '../../lib/formats/colour-planes.ts';
import type { Selector } from '../../lib/formats/selector.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import { card, data, extension, image, join } from './fits/build.ts';

const cube = join(
  image(8, [1, 1, 4]),
  data([1, 2, 3, 4]),
  extension('IMAGE', 8, [1, 1, 3], card('EXTNAME', "'STARS'")),
  data([5, 6, 7]),
);
const grey = join(image(8, [1, 1]), data([9]));
const pair = join(image(8, [1, 1, 2]), data([1, 2]));

const values = async (bytes: Uint8Array, selector?: Selector, planes?: readonly number[]) => {
  const sources = await openColourPlanes(memorySource('t.fits', bytes), selector, planes);
  const pixel = new Float32Array(1);
  const found: number[] = [];
  for (const source of sources) {
    await source.readRows(0, 1, pixel);
    found.push(pixel[0]!);
  }
  return found;
};

describe('the planes of a colour picture', () => {
  it('are its first three', async () => {
    expect(await values(cube)).toEqual([1, 2, 3]);
    expect(await values(cube, { part: 'STARS' })).toEqual([5, 6, 7]);
  });

  it('are one plane thrice where one is chosen, or there is no colour', async () => {
    expect(await values(cube, { plane: 3 })).toEqual([4, 4, 4]);
    expect(await values(cube, { part: 1, plane: 1 })).toEqual([6, 6, 6]);
    expect(await values(grey)).toEqual([9, 9, 9]);
  });

  it('are those asked for', async () => {
    expect(await values(cube, {}, [3, 0])).toEqual([4, 1]);
    expect(await values(cube, { part: 1 }, [2])).toEqual([7]);
    expect(await values(grey, {}, [0])).toEqual([9]);
  });

  it('are refused where two planes leave it open', async () => {
    await expect(values(pair)).rejects.toThrow(/a cube of 2 planes/);
  });
});

describe('whether a picture has colour', () => {
  it.each([
    ['a third plane', cube, true],
    ['two planes', pair, false],
    ['one plane', grey, false],
    ['no picture', new Uint8Array(10), false],
  ])('%s', async (_, bytes, colour) => {
    expect(await isColourPicture(memorySource('t.fits', bytes))).toBe(colour);
  });

  it('is not answered by a defect of the program', async () => {
    const broken = { name: 't.fits', size: 10_000, read: () => Promise.reject(new TypeError('broken')) };
    await expect(isColourPicture(broken)).rejects.toThrow('broken');
    await expect(openColourPlanes(broken)).rejects.toThrow('broken');
  });
});
