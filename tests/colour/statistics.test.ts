import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coloursFromMatrix, matrixFromColours } from '../../lib/colour/from-line-colours.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import { confusable, matrixStatistics, outOfGamut } from '../../lib/colour/statistics.ts';
import type { Triple } from '../../lib/plane/linear.ts';
import { expectClose } from './close.ts';

const { srgb } = SPACES;
const SHO = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];
const HOO = [
  [0, 1, 0],
  [0, 0, 1],
  [0, 0, 1],
];

describe('matrix statistics', () => {
  it('one line a colour', () => {
    const { colours, hueOrder, rowSums, rank, condition, outOfGamut: share } = matrixStatistics(SHO, 'display', srgb);
    expect(colours.map((c) => c.hex)).toEqual(['#ff0000', '#00ff00', '#0000ff']);
    expect(colours.map((c) => c.hue)).toEqual([0, 120, 240]);
    expect(colours.some((c) => c.outside)).toBe(false);
    expect(hueOrder).toEqual([0, 1, 2]);
    expect(rowSums).toEqual([1, 1, 1]);
    expect([rank, condition, share]).toEqual([3, 1, 0]);
    // OKLCH of sRGB red as published with CSS Color 4.
    expect(colours[0]!.oklch[1]).toBeCloseTo(0.2576833, 6);
  });

  it('a line without weight is black, comes last by hue and cannot be undone', () => {
    const { colours, hueOrder, rank, condition } = matrixStatistics(HOO, 'display', srgb);
    expect(colours.map((c) => c.hex)).toEqual(['#000000', '#ff0000', '#00ffff']);
    expect(hueOrder).toEqual([1, 2, 0]);
    expect([rank, condition]).toEqual([2, Number.POSITIVE_INFINITY]);
  });

  it('orders by hue, not by position', () => {
    expect(
      matrixStatistics(
        [
          [0, 0, 1],
          [1, 0, 0],
          [0, 1, 0],
        ],
        'light',
        srgb,
      ).hueOrder,
    ).toEqual([2, 0, 1]);
  });

  it('separates every pair for every viewer', () => {
    const { separations } = matrixStatistics(SHO, 'display', srgb);
    expect(separations).toHaveLength(12);
    const redGreen = separations.find((s) => s.viewer === 'all' && s.lines[0] === 0 && s.lines[1] === 1)!;
    // colorjs.io 0.7.1: deltaEOK of red and lime from their published OKLab values.
    expect(redGreen.deltaEok).toBeCloseTo(
      Math.hypot(0.62795536 - 0.86643962, 0.22486307 + 0.23388758, 0.12584628 - 0.17949845),
      6,
    );
    expect(redGreen.ciede2000).toBeGreaterThan(60);
  });

  it('finds lines that only some viewers tell apart', () => {
    // Red and a green of like brightness to eyes without middle-wave cones.
    const matrix = [
      [1, 0],
      [0, 0.62],
      [0, 0],
    ];
    const found = confusable(matrixStatistics(matrix, 'display', srgb).separations, 25);
    expect(found.map((s) => s.viewer)).toContain('deutan');
    expect(found.map((s) => s.viewer)).not.toContain('all');
  });

  it('equal columns cannot be told apart by anyone', () => {
    const { separations } = matrixStatistics(
      [
        [1, 1],
        [0.5, 0.5],
        [0, 0],
      ],
      'display',
      srgb,
    );
    expect(confusable(separations)).toHaveLength(4);
    expect(separations.every((s) => s.ciede2000 === 0 && s.deltaEok === 0)).toBe(true);
  });

  it('shows colours that the space cannot show, and says so', () => {
    const [colour] = matrixStatistics([[1], [-0.2], [0.1]], 'light', srgb).colours;
    expect(colour!.outside).toBe(true);
    expect(Math.min(...colour!.rgb)).toBeGreaterThanOrEqual(0);
  });
});

describe('share out of gamut', () => {
  it.each([
    // Volumes by geometry: x + y > 1 is half the square, x + y + z > 1 five sixths of the cube, x > y half.
    {
      matrix: [
        [1, 1],
        [0, 0],
        [0, 0],
      ],
      share: 1 / 2,
    },
    {
      matrix: [
        [1, 1, 1],
        [0, 0, 0],
        [0, 0, 0],
      ],
      share: 5 / 6,
    },
    {
      matrix: [
        [-1, 1],
        [0, 0],
        [0, 0],
      ],
      share: 1 / 2,
    },
    { matrix: [[2], [0], [0]], share: 1 / 2 },
    { matrix: HOO, share: 0 },
  ])('$matrix: $share', ({ matrix, share }) => expect(Math.abs(outOfGamut(matrix) - share)).toBeLessThan(0.01));
});

describe('rows and line colours', () => {
  const value = fc.double({ min: -1, max: 2, noNaN: true });
  const colour = fc.tuple(value, value, value);

  it.each(Object.values(SPACES))('come back into each other in $label', (space) => {
    fc.assert(
      fc.property(
        fc.array(colour, { minLength: 1, maxLength: 8 }),
        fc.constantFrom('display', 'light'),
        (colours, mixIn) => {
          const back = coloursFromMatrix(matrixFromColours(colours as Triple[], mixIn, space), mixIn, space);
          expect(back).toHaveLength(colours.length);
          expectClose(back.flat(), colours.flat(), 1e-12);
        },
      ),
    );
  });

  it('columns are display values where display values are mixed', () => {
    expect(
      matrixFromColours(
        [
          [1, 0, 0],
          [0, 0.21404114048223255, 1],
        ],
        'display',
        srgb,
      ).map((row) => row.map((v) => Number(v.toFixed(12)))),
    ).toEqual([
      [1, 0],
      [0, 0.5],
      [0, 1],
    ]);
    expect(
      matrixFromColours(
        [
          [1, 0, 0],
          [0, 0.25, 1],
        ],
        'light',
        srgb,
      ),
    ).toEqual([
      [1, 0],
      [0, 0.25],
      [0, 1],
    ]);
  });
});
