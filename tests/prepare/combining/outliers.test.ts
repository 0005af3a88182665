import { describe, expect, it } from 'vitest';
import { countMarked, isMarked } from '../../../lib/plane/mask.ts';
import { combined } from '../../../lib/prepare/combine.ts';
import { matchMasters } from '../../../lib/prepare/match.ts';
import { pairsOf } from '../../cases.ts';
import { asSource, drawSky, expose, pixelsOf, withTrail } from './sky.ts';

const SIGMA = 10;
const SIZE = { width: 360, height: 270 };
const combine = async (sky: ReturnType<typeof drawSky>, planes: readonly Float32Array[]) => {
  const { parts } = await matchMasters(planes.map((plane, i) => asSource(`m${i}.fits`, sky, plane)));
  return { parts, pixels: await pixelsOf(combined(parts)) };
};

describe('outliers', () => {
  it.each(pairsOf([2, 3, 5], [1.5, 4, 20, 300]))(
    'of one of %i masters, a trail of %d sigma, leave less than 2 counts',
    async (n, peak) => {
      const sky = drawSky(700 + n, SIZE);
      const clean = Array.from({ length: n }, (_, i) => expose(sky, SIGMA, 7100 + 10 * n + i));
      const without = await combine(sky, clean);
      for (const { outliers } of without.parts) expect(outliers?.share ?? 0).toBeLessThan(1e-4);
      const { crossed, core } = withTrail(sky, clean[0]!, 7200 + n + peak, peak * SIGMA);
      const { parts, pixels } = await combine(sky, [crossed, ...clean.slice(1)]);
      const residue = core.reduce((sum, i) => sum + pixels[i]! - without.pixels[i]!, 0) / core.length;
      expect(Math.abs(residue)).toBeLessThan(2);
      const { share, largest, pixels: count, mask } = parts[0]!.outliers!;
      expect(share).toBeGreaterThan(0.3 * (core.length / sky.light.length));
      expect(share).toBeLessThan(0.1);
      expect([count, largest[0]!.pixels > 100]).toEqual([countMarked(mask), true]);
      for (const { outliers } of parts.slice(1)) expect(outliers?.share ?? 0).toBeLessThan(1e-4);
    },
  );

  it('are hot pixels, and cold ones where a third master tells which is right', async () => {
    const sky = drawSky(811, { ...SIZE, stars: 0 });
    const planes = [1, 2, 3].map((k) => expose(sky, SIGMA, 8110 + k));
    const at = (x: number, y: number) => y * sky.width + x;
    planes[1]![at(100, 50)]! += 120;
    planes[1]![at(300, 200)]! -= 120;
    const { parts } = await combine(sky, planes);
    const { mask } = parts[1]!.outliers!;
    expect([isMarked(mask, 100, 50), isMarked(mask, 300, 200)]).toEqual([true, true]);
    const { parts: two } = await combine(sky, planes.slice(0, 2));
    expect(isMarked(two[1]!.outliers!.mask, 100, 50)).toBe(true);
    expect(isMarked(two[1]!.outliers!.mask, 300, 200)).toBe(false);
  });

  it('do not depend on how the rows are asked for, and are the same every time', async () => {
    const sky = drawSky(823, SIZE);
    const planes = [1, 2].map((k) => expose(sky, SIGMA, 8230 + k));
    const { crossed } = withTrail(sky, planes[0]!, 824, 40);
    const first = await combine(sky, [crossed, planes[1]!]);
    const again = await combine(sky, [crossed, planes[1]!]);
    expect(again.pixels).toEqual(first.pixels);
    const source = combined(first.parts);
    const rows = new Float32Array(7 * sky.width);
    for (const y of [0, 101, sky.height - 7]) {
      await source.readRows(y, 7, rows);
      expect(rows).toEqual(first.pixels.subarray(y * sky.width, (y + 7) * sky.width));
    }
  });

  it('are not what has no data in one of them', async () => {
    const sky = drawSky(835, SIZE);
    const [a, b] = [1, 2].map((k) => expose(sky, SIGMA, 8350 + k)) as [Float32Array, Float32Array];
    for (let i = 0; i < b.length; i++) if (i % sky.width < 60 + Math.floor(i / sky.width / 4)) b[i] = Number.NaN;
    const { parts, pixels } = await combine(sky, [a, b]);
    for (const { outliers } of parts) expect(outliers?.share ?? 0).toBeLessThan(1e-4);
    expect(pixels.every(Number.isFinite)).toBe(true);
  });

  it('are few where one of two was taken under worse seeing', async () => {
    const options = { ...SIZE, stars: 40, brightest: 3.5 };
    const sharp = drawSky(847, { ...options, seeing: 1.3 });
    const soft = drawSky(847, { ...options, seeing: Math.hypot(1.3, 1.2) });
    const { parts } = await combine(sharp, [expose(sharp, SIGMA, 8471), expose(soft, SIGMA, 8472)]);
    for (const { outliers } of parts) expect(outliers?.share ?? 0).toBeLessThan(0.01);
  });
});
