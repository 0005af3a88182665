import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { measureChannels } from '../../lib/measure/measure.ts';
import { growthOfDifferences } from '../../lib/measure/stretched.ts';
import { closeMasters, openMasters } from '../../lib/node/masters/masters.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { Plane } from '../../lib/plane/plane.ts';
import type { CurveKind } from '../../lib/stretch/curve.ts';
import { CURVES } from '../../lib/stretch/curves.ts';
import { random } from '../../samples/scene/random.ts';
import { planeOf } from './registration/planes.ts';

const DATA = '../shared/data';
const stretched = async (plane: Plane): Promise<boolean> =>
  (await measureChannels([{ name: 'H', source: planeSource('h', plane) }]))[0]!.stretched;

/** The picture as a recipe shows it: black and white at percentiles, the median at `target` by a curve. */
const shown = async (
  plane: Plane,
  curve: 'bias' | 'asinh' | 'log' | 'power',
  target: number,
): Promise<{ plane: Plane; lift: number }> => {
  const [m] = await measureChannels([{ name: 'H', source: planeSource('h', plane) }]);
  const [black, white] = [m!.percentiles['0.05']!, m!.percentiles['99.9']!];
  const share = (m!.median - black) / (white - black);
  const kind: CurveKind = CURVES[curve];
  const of = kind.curve({ a: kind.place!(share, target) });
  const data = plane.data.map((v) => of(Math.max(0, Math.min(1, (v - black) / (white - black)))));
  return { plane: { ...plane, data }, lift: target / share };
};

/** Sky with noise that grows with the light, a soft nebula over half of it; a quarter of the range, for stars take more. */
const sky = (seed: number, nebula: number): Plane => {
  const rng = random(seed, 40);
  const [width, height] = [200, 160];
  const data = Float32Array.from({ length: width * height }, (_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    const light =
      nebula * Math.exp(-((x - 60) ** 2 + (y - 90) ** 2) / 3000) * (1.2 + Math.sin(x / 4) * Math.sin(y / 5));
    return 500 + light + Math.sqrt(100 + light) * rng.normal();
  });
  const most = Math.max(...data);
  return { width, height, data: data.map((v) => v / (4 * most)) };
};

describe('a master', () => {
  it.each(['bias', 'asinh', 'log', 'power'] as const)(
    'that %s stretched is told from the linear one',
    async (curve) => {
      for (const [seed, nebula, target] of [
        [3, 3000, 0.3],
        [4, 20_000, 0.25],
      ] as const) {
        const linear = sky(seed, nebula);
        expect(await stretched(linear)).toBe(false);
        const { plane, lift } = await shown(linear, curve, target);
        expect(lift).toBeGreaterThan(2);
        expect(await stretched(plane)).toBe(true);
      }
    },
  );

  it('that nebula fills is linear, however bright', async () => {
    const rng = random(9, 41);
    const [width, height] = [200, 160];
    const light = (i: number) => 9000 + 8000 * (1 + Math.sin((i % width) / 25) * Math.cos(Math.floor(i / width) / 19));
    const data = Float32Array.from({ length: width * height }, (_, i) => {
      const v = light(i);
      return (v + (v / 60) * rng.normal()) / 28_000;
    });
    const plane = { width, height, data };
    expect(await growthOfDifferences(planeSource('h', plane))).toBeGreaterThan(1.2);
    expect(await stretched(plane)).toBe(false);
    // The same lit frame through a logarithm: noise no longer grows with the light.
    expect(await stretched({ ...plane, data: data.map((v) => Math.log(1 + 400 * Math.max(0, v - 0.25)) / 6) })).toBe(
      true,
    );
  });

  it('without any difference in the dark has no growth', async () => {
    const flat = planeSource('h', { width: 40, height: 40, data: new Float32Array(1600).fill(3) });
    expect(await growthOfDifferences(flat)).toBeNaN();
  });
});

describe.skipIf(!existsSync(DATA))('real masters', () => {
  it.each(['ha', 'sii', 'oiii'])('%s of a frame-filling nebula in 16 bits is linear', async (line) => {
    const masters = await openMasters({ H: `${DATA}/m42/m42_${line}_256_u16.tif` });
    const [measured] = await measureChannels(masters).finally(() => closeMasters(masters));
    expect(measured!.stretched).toBe(false);
  });

  it.each(['m42/m42_mixed_oiii_590x584_f32', 'ou5/ou5_ha', 'ou5/ou5_oiii', 'ou5/ou5_cont'])(
    '%s is linear, and stretched after every curve that lifts it twice',
    async (name) => {
      const linear = await planeOf(`${DATA}/${name}.fits`);
      expect(await stretched(linear)).toBe(false);
      for (const curve of ['bias', 'asinh', 'log', 'power'] as const) {
        const { plane, lift } = await shown(linear, curve, 0.25);
        expect(lift).toBeGreaterThan(2);
        expect(await stretched(plane), curve).toBe(true);
      }
    },
  );
});
