import { describe, expect, it } from 'vitest';
import { layOutSheet, type SheetLayout, writeSheet } from '../../lib/render/sheet.ts';

/** The page of a sheet whose pictures are of one colour each. */
const drawn = async (layout: SheetLayout, captions: readonly string[]) => {
  const { cell } = layout;
  const colour = (i: number) => [200, 10 * i, 5];
  const cells = captions.map((caption, i) => {
    const data = new Uint8Array(cell.width * cell.height * 3);
    for (let k = 0; k < data.length; k++) data[k] = colour(i)[k % 3]!;
    return { picture: { width: cell.width, height: cell.height, bands: 3 as const, data }, caption };
  });
  const page = new Uint8Array(layout.width * layout.height * 3);
  let written = 0;
  let finished = 0;
  await writeSheet(cells, layout, {
    async writeRows(some) {
      expect(some.length % (layout.width * 3)).toBe(0);
      page.set(some, written);
      written += some.length;
    },
    async finish() {
      finished++;
    },
  });
  expect([written, finished]).toEqual([page.length, 1]);
  const at = (x: number, y: number) => [...page.subarray(3 * (y * layout.width + x), 3 * (y * layout.width + x) + 3)];
  return { at, colour };
};

/** Left and top of each cell. */
const places = ({ columns, cell, gap }: SheetLayout, count: number) =>
  Array.from({ length: count }, (_, i) => ({
    left: gap + (i % columns) * (cell.width + gap),
    top: gap + Math.floor(i / columns) * (cell.height + cell.captionHeight + gap),
  }));

describe('the layout of a sheet', () => {
  it.each([
    [1, 300, 200, 1],
    [4, 300, 200, 2],
    [6, 300, 200, 3],
    [9, 300, 200, 3],
    // Side by side where pictures are tall, one below the other where they are wide.
    [3, 100, 400, 3],
    [4, 600, 100, 1],
    // Four columns leave one place empty, five would leave three.
    [7, 200, 300, 4],
  ])('sets %d pictures of %d × %d in %d columns', (count, width, height, columns) => {
    expect(layOutSheet(count, width, height).columns).toBe(columns);
  });

  it('has room for every picture, its caption and gaps all round, in as many columns as are asked for', () => {
    for (const columns of [1, 2, 3, 5]) {
      const layout = layOutSheet(5, 120, 80, columns);
      expect(layout.columns).toBe(columns);
      expect(layout.width).toBe(layout.gap + columns * (120 + layout.gap));
      const { top } = places(layout, 5)[4]!;
      expect(layout.height).toBe(top + 80 + layout.cell.captionHeight + layout.gap);
    }
  });
});

describe('a sheet', () => {
  it('holds each picture in its place and neutral grey between', async () => {
    const layout = layOutSheet(5, 60, 40, 3);
    const { at, colour } = await drawn(layout, ['', '', '', '', '']);
    const inside = places(layout, 5);
    let ground = 0;
    for (let y = 0; y < layout.height; y++)
      for (let x = 0; x < layout.width; x++) {
        const i = inside.findIndex(({ left, top }) => x >= left && x < left + 60 && y >= top && y < top + 40);
        const pixel = at(x, y);
        if (i < 0) ground++;
        if (i >= 0 ? pixel.join() !== colour(i).join() : new Set(pixel).size > 1 || pixel[0]! > 60)
          throw new Error(`pixel ${x},${y} is ${pixel}`);
      }
    expect(ground).toBe(layout.width * layout.height - 5 * 60 * 40);
  });

  it.each([90, 700])('has its words in light grey below each picture of %d pixels, within its cell', async (width) => {
    const layout = layOutSheet(2, width, 20, 2);
    const { at } = await drawn(layout, [
      'HOH',
      'a name that is much too long to stand below so small a picture '.repeat(4),
    ]);
    const { cell } = layout;
    const extents = places(layout, 2).map(({ left, top }) => {
      const ys: number[] = [];
      for (let y = top + 20; y < top + 20 + cell.captionHeight; y++)
        for (let x = left; x < left + cell.width; x++) {
          const [r, g, b] = at(x, y) as [number, number, number];
          if (r !== g || g !== b) throw new Error('the words are not grey');
          if (r > 150) ys.push(y - top - 20);
        }
      return { low: Math.min(...ys), high: Math.max(...ys) };
    });
    for (const { low, high } of extents) {
      expect(high - low).toBeGreaterThanOrEqual(Math.max(6, 0.3 * cell.captionHeight));
      expect(low).toBeGreaterThan(0.1 * cell.captionHeight);
      expect(high).toBeLessThan(0.9 * cell.captionHeight);
    }
    // Nothing is written into the gaps.
    for (let y = 0; y < layout.height; y++)
      for (const x of [0, layout.gap + cell.width + 1, layout.width - 1]) expect(at(x, y)[0]).toBeLessThan(60);
  });
});
