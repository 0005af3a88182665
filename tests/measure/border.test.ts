import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { openPlane } from '../../lib/formats/open.ts';
import { borderZeros } from '../../lib/measure/border.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import { countMarked, isMarked } from '../../lib/plane/mask.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { PlaneSource, SampleType } from '../../lib/plane/plane.ts';
import { random } from '../../samples/scene/random.ts';

const WIDTH = 200;
const HEIGHT = 150;

/** A picture whose value at each place is given; `normal` numbers are drawn in the order of pixels. */
const picture = (value: (x: number, y: number, normal: () => number) => number, type: SampleType = 'f32') => {
  const rng = random(3, 1);
  const data = Float64Array.from({ length: WIDTH * HEIGHT }, (_, i) =>
    value(i % WIDTH, Math.floor(i / WIDTH), () => rng.normal()),
  );
  const source: PlaneSource = {
    ...planeSource('x', { width: WIDTH, height: HEIGHT, data: new Float32Array(0) }),
    type,
    async readRows(y, rows, into) {
      into.set(data.subarray(y * WIDTH, (y + rows) * WIDTH));
    },
  };
  return source;
};

const hidden = async (source: PlaneSource): Promise<number> => {
  const mask = await borderZeros(source);
  return mask === undefined ? 0 : countMarked(mask);
};

const nebula = (x: number, y: number): number => 40 * Math.exp(-((x - 100) ** 2 + (y - 75) ** 2) / 2000);

describe('zeros at the border', () => {
  const wedge = (x: number, y: number) => y < 20 - x / 10;
  const count = Array.from({ length: WIDTH * HEIGHT }, (_, i) =>
    wedge(i % WIDTH, Math.floor(i / WIDTH)) ? 1 : 0,
  ).reduce<number>((a, b) => a + b, 0);

  it.each<SampleType>(['f32', 'f64', 'u16', 'i32'])('are found in %s', async (type) => {
    const source = picture((x, y, normal) => (wedge(x, y) ? 0 : Math.round(500 + 10 * normal())), type);
    expect(await hidden(source)).toBe(count);
  });
  it('are left where they are few, or inside', async () => {
    expect(await hidden(picture((x, y, normal) => (x + y < 6 ? 0 : 5 + normal())))).toBe(0);
    expect(await hidden(picture((x, y, normal) => (Math.hypot(x - 90, y - 70) < 30 ? 0 : 50 + normal())))).toBe(0);
  });
});

describe('remnants of zeros at the border', () => {
  const remnants = (type: SampleType, scale = 1) =>
    picture((x, y, normal) => scale * (x < 6 ? 1e-12 * normal() : 8 + nebula(x, y) + normal()), type);

  it.each<SampleType>(['f32', 'f64'])('are found in %s', async (type) =>
    expect(await hidden(remnants(type))).toBe(6 * HEIGHT),
  );
  it.each([1e-17, 1e12])('are found whatever the unit: %f', async (scale) =>
    expect(await hidden(remnants('f32', scale))).toBe(6 * HEIGHT),
  );
  it('are found around a sky of zero, on either side of it, and mixed with exact zeros', async () => {
    const source = picture((x, y, normal) => {
      if (x < 3) return 0;
      if (x < 6) return 1e-13 * normal();
      return nebula(x, y) + normal();
    });
    const mask = (await borderZeros(source))!;
    expect(countMarked(mask)).toBe(6 * HEIGHT);
    expect([isMarked(mask, 5, 80), isMarked(mask, 6, 80)]).toEqual([true, false]);
  });
  it('are left inside', async () => {
    const hole = (x: number, y: number) => Math.hypot(x - 90, y - 70) < 30;
    expect(await hidden(picture((x, y, normal) => (hole(x, y) ? 1e-12 * normal() : 50 + normal())))).toBe(0);
  });
});

describe('a sky around zero is never taken for missing', () => {
  it.each<[string, (x: number, y: number, normal: () => number) => number]>([
    ['noise about zero', (_x, _y, normal) => normal()],
    ['little noise about zero beside a bright nebula', (x, y, normal) => 1e6 * nebula(x, y) + normal()],
    [
      'almost no noise around a bright nebula',
      (x, y, normal) => 1e-10 * normal() + 40 * Math.exp(-((x - 100) ** 2 + (y - 75) ** 2) / 200),
    ],
    ['a smooth sky that falls to nothing', (x, y) => 1e4 * Math.exp(-((x - 100) ** 2 + (y - 75) ** 2) / 400)],
    ['values of every magnitude', (_x, _y, normal) => 10 ** (6 * normal())],
    ['a dark edge at a thousandth of the noise', (x, _y, normal) => (x < 6 ? 1e-3 : 1) * normal()],
    ['a dark edge at a millionth of the noise', (x, _y, normal) => (x < 6 ? 1e-6 : 1) * normal()],
    ['one value', () => 1e-12],
    ['nothing at all', () => Number.NaN],
  ])('%s', async (_name, value) => {
    const source = picture(value);
    expect(await hidden(source)).toBe(0);
    expect(await hidden({ ...source, type: 'f64' })).toBe(0);
  });
  it('nor are small whole numbers', async () => {
    const source = picture(
      (x, y, normal) => (x < 6 ? 1 : Math.round(2e9 + 1e6 * nebula(x, y) + 1e5 * normal())),
      'u32',
    );
    expect(await hidden(source)).toBe(0);
  });
});

describe.skipIf(!existsSync('../shared/data'))('real masters', () => {
  const open = async (file: string) => openPlane(memorySource(file, await readFile(`../shared/data/${file}`)));
  it.each([
    ['m42/m42_mixed_sii_590x584_f32.fits', 4813],
    ['m42/m42_mixed_ha_590x584_f32.fits', 4812],
    ['m42/m42_mixed_oiii_590x584_f32.fits', 0],
    ['m42/m42_hst_f673n_300x301_nan_f32.fits', 1992],
    ['ou5/ou5_ha.fits', 0],
    ['ou5/ou5_oiii.fits', 0],
  ])('%s', async (file, pixels) => {
    // What is connected was counted with scipy.ndimage.label over |x| < 1e-9 (H: 1.9e-8).
    expect(await hidden(await open(file))).toBe(pixels);
  });
});
