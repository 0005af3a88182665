import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { borderZeros, connectedToBorder } from '../../lib/measure/border.ts';
import { createMask, isMarked, mark } from '../../lib/plane/mask.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';

const masked = (width: number, height: number, which: (x: number, y: number) => boolean) => {
  const mask = createMask(width, height);
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) if (which(x, y)) mark(mask, x, y);
  return mask;
};
const drawn = (rows: readonly string[]) => masked(rows[0]!.length, rows.length, (x, y) => rows[y]![x] !== '.');

/** By its definition: from every marked pixel of the border on, step by step to marked neighbours. */
const stepByStep = (mask: ReturnType<typeof createMask>) => {
  const { width, height } = mask;
  const reached = createMask(width, height);
  const open: [number, number][] = [];
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) if (x === 0 || y === 0 || x === width - 1 || y === height - 1) open.push([x, y]);
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    const [x, y] = next;
    if (x < 0 || y < 0 || x >= width || y >= height) continue;
    if (!isMarked(mask, x, y) || isMarked(reached, x, y)) continue;
    mark(reached, x, y);
    open.push([x - 1, y], [x + 1, y], [x, y - 1], [x, y + 1]);
  }
  return reached;
};

describe('what is connected to the border', () => {
  it.each([
    ['from above', ['..##..', '..#...', '......', '......']],
    ['from below', ['......', '......', '...#..', '..##..']],
    ['from the left', ['......', '##....', '.#....', '......']],
    ['from the right', ['......', '....##', '....#.', '......']],
    ['not by corners', ['#.....', '.##...', '......', '......']],
    ['not from inside', ['......', '.####.', '.#..#.', '......']],
    ['round a corner, up and down', ['#.....', '#.###.', '###.#.', '......']],
    ['one row', ['#..##.']],
  ])('is reached %s', (_, rows) => {
    const mask = drawn(rows);
    expect(connectedToBorder(mask)).toEqual(stepByStep(mask));
  });

  it('is what steps from pixel to pixel reach, in any picture', () => {
    const pictures = fc
      .tuple(fc.integer({ min: 1, max: 20 }), fc.integer({ min: 1, max: 12 }))
      .chain(([width, height]) =>
        fc.tuple(
          fc.constant(width),
          fc.constant(height),
          fc.array(fc.integer({ min: 0, max: 9 }), { minLength: width * height, maxLength: width * height }),
        ),
      );
    fc.assert(
      fc.property(pictures, ([width, height, digits]) => {
        const mask = masked(width, height, (x, y) => digits[y * width + x]! < 6);
        expect(connectedToBorder(mask)).toEqual(stepByStep(mask));
      }),
      { numRuns: 150 },
    );
  });
});

describe('zeros at one side of the border alone', () => {
  const [width, height] = [60, 50];
  it.each<[string, (x: number, y: number) => boolean]>([
    ['top', (x, y) => y < 3 && x > 9 && x < 50],
    ['bottom', (x, y) => y > 46 && x > 9 && x < 50],
    ['left', (x, y) => x < 3 && y > 9 && y < 40],
    ['right', (x, y) => x > 56 && y > 9 && y < 40],
  ])('are found: %s', async (_, missing) => {
    const zero = masked(width, height, missing);
    const data = Float32Array.from({ length: width * height }, (_, i) =>
      missing(i % width, Math.floor(i / width)) ? 0 : 1000 + (i % 17),
    );
    expect(await borderZeros(planeSource('a.fits', { width, height, data }))).toEqual(zero);
  });

  it('are data where they are no more than a thousandth of the picture', async () => {
    const zeros = (count: number) => {
      const data = Float32Array.from({ length: width * height }, (_, i) => (i < count ? 0 : 1000 + (i % 17)));
      return borderZeros(planeSource('a.fits', { width, height, data }));
    };
    // A thousandth of 60 × 50 pixels is 3.
    expect(await zeros(3)).toBeUndefined();
    expect(await zeros(4)).toEqual(masked(width, height, (x, y) => y === 0 && x < 4));
  });

  it('count without those that lie inside', async () => {
    const data = Float32Array.from({ length: width * height }, (_, i) => {
      const [x, y] = [i % width, Math.floor(i / width)];
      return (y === 0 && x < 3) || (Math.abs(x - 30) < 5 && Math.abs(y - 20) < 5) ? 0 : 1000 + (i % 17);
    });
    expect(await borderZeros(planeSource('a.fits', { width, height, data }))).toBeUndefined();
  });
});
