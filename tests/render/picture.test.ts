import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { OutputRows } from '../../lib/plane/picture.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { pictureInMemory, renderPicture, sourcesFor } from '../../lib/render/picture.ts';

const SIZE = { width: 700, height: 500 };
const count = SIZE.width * SIZE.height;
const source = (file: string, value: (i: number) => number) =>
  planeSource(file, { ...SIZE, data: Float32Array.from({ length: count }, (_, i) => value(i)) });
const channels = [
  { name: 'O', source: source('o', (i) => 1 - i / count) },
  { name: 'H', source: source('h', (i) => i / count) },
];
const linear = { background: 0, black: 0, white: 1, stretch: { curve: 'linear' } } as const;
const settled: Settled = {
  channels: [
    { name: 'H', ...linear },
    { name: 'O', ...linear },
  ],
  matrix: [
    [1, 0],
    [0.5, 0.5],
    [0, 1],
  ],
  mixIn: 'display',
  space: 'srgb',
  highlights: 'ratio',
  gamut: 'chroma',
};

describe('a rendered picture', () => {
  it('is written in strips of whole rows, top first, each channel by its name, with all that is done told', async () => {
    const { writer, picture } = pictureInMemory({ ...SIZE, sample: 'u16', bands: 3 });
    const strips: number[] = [];
    const seen: number[] = [];
    let finished = 0;
    const watched = {
      async writeRows(rows: OutputRows) {
        expect(finished).toBe(0);
        strips.push(rows.length / (3 * SIZE.width));
        await writer.writeRows(rows);
      },
      async finish() {
        finished++;
      },
    };
    const form = { ...SIZE, sample: 'u16', bands: 3 } as const;
    await renderPicture(channels, settled, form, watched, { progress: (done) => seen.push(done) });
    expect([strips.length > 1, strips.every(Number.isInteger), finished]).toEqual([true, true, 1]);
    expect(strips.reduce((a, b) => a + b, 0)).toBe(SIZE.height);
    const done = strips.map((_, k) => strips.slice(0, k + 1).reduce((a, b) => a + b, 0));
    expect(seen).toEqual(done.map((rows) => expect.closeTo(rows / SIZE.height, 12)));
    for (let i = 0; i < count; i += 4999) {
      const pixel = [...picture.data.subarray(3 * i, 3 * i + 3)];
      const wanted = [i / count, 0.5, 1 - i / count].map((v) => v * 65535);
      expect(
        pixel.every((v, b) => Math.abs(v - wanted[b]!) <= 1),
        `pixel ${i}: ${pixel}`,
      ).toBe(true);
    }
  });

  it('stops between strips when it is cancelled, and is not finished then', async () => {
    const control = new AbortController();
    let strips = 0;
    let finished = false;
    const writer = {
      async writeRows() {
        strips++;
        control.abort();
      },
      async finish() {
        finished = true;
      },
    };
    const form = { ...SIZE, sample: 'u8', bands: 3 } as const;
    await expect(renderPicture(channels, settled, form, writer, { signal: control.signal })).rejects.toMatchObject({
      tag: 'cancelled',
    });
    expect([strips, finished]).toEqual([1, false]);
  });

  it('needs a source for every channel', () => {
    expect(sourcesFor(settled, channels).map(({ file }) => file)).toEqual(['h', 'o']);
    expect(() => sourcesFor(settled, channels.slice(1))).toThrow(RangeError);
  });
});
