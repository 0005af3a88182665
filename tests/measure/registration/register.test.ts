import { describe, expect, it } from 'vitest';
import { type Registered, registerPair } from '../../../lib/measure/registration/register.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../../lib/plane/plane.ts';
import type { Misfit } from '../../../samples/scene/index.ts';
import { random } from '../../../samples/scene/random.ts';
import { sceneSources } from './scene.ts';

const found = async (a: PlaneSource, b: PlaneSource): Promise<Registered> => {
  const result = await registerPair(a, b);
  if (result.status !== 'found') throw new Error(result.reason);
  return result;
};

const PLANTED: readonly (readonly [string, Misfit])[] = [
  ['nothing', {}],
  ['a shift', { dx: 3.25, dy: -1.5 }],
  ['a turn', { angle: 2.5 }],
  ['a shift and a turn', { dx: 3.25, dy: -1.5, angle: -2.5 }],
  ['a small turn', { angle: 0.2 }],
  ['a crop of one column', { crop: { left: 1 } }],
  ['a crop of one row and another size', { crop: { top: 1, right: 3 } }],
  ['a shift beyond any tile', { dx: 150, dy: -90 }],
  ['a quarter turn and more', { angle: -100, dx: 20 }],
  ['a frame upside down', { angle: 180, dy: 4 }],
];

describe.each(PLANTED)('with %s planted', (_, misfit) => {
  it('it is measured within 0.1 px and 0.05°, in the bright line and in the faint', { timeout: 60_000 }, async () => {
    const sources = sceneSources({ misfit: { S: misfit, O: misfit } });
    for (const line of ['S', 'O'] as const) {
      const { dx, dy, rotation, scale, residual, uncertainty } = await found(sources.H, sources[line]);
      const { left = 0, top = 0 } = misfit.crop ?? {};
      expect(Math.abs(dx - ((misfit.dx ?? 0) - left))).toBeLessThan(0.1);
      expect(Math.abs(dy - ((misfit.dy ?? 0) - top))).toBeLessThan(0.1);
      const turn = (rotation - (misfit.angle ?? 0) + 540) % 360;
      expect(Math.abs(turn - 180)).toBeLessThan(0.05);
      expect(Math.abs(scale - 1)).toBeLessThan(3e-4);
      expect(residual).toBeLessThan(0.15);
      expect(uncertainty.shift).toBeLessThan(0.05);
    }
  });
});

describe('registration', () => {
  it('reports tiles that show the turn', async () => {
    const { H, O } = sceneSources({ width: 600, height: 400, misfit: { O: { angle: 0.3 } } });
    const { tiles } = await found(H, O);
    const kept = tiles.filter(({ weight }) => weight > 0);
    expect(kept.length).toBeGreaterThan(15);
    const turn = (0.3 * Math.PI) / 180;
    for (const { x, y, dx, dy } of kept) {
      expect(Math.abs(dx + turn * (y - 199.5))).toBeLessThan(0.4);
      expect(Math.abs(dy - turn * (x - 299.5))).toBeLessThan(0.4);
    }
  });

  it('holds at a tenth of the hours', async () => {
    const { H, S } = sceneSources({ hours: { S: 0.6, H: 0.4, O: 0.5 }, misfit: { S: { dx: 3.25, dy: -1.5 } } });
    const { dx, dy } = await found(H, S);
    expect(Math.abs(dx - 3.25)).toBeLessThan(0.1);
    expect(Math.abs(dy + 1.5)).toBeLessThan(0.1);
  });

  it('does not depend on pedestal, strength or sign of the values', async () => {
    const { H, O } = sceneSources({ misfit: { O: { dx: 1.5 } } });
    const plain = await found(H, O);
    const scaled: PlaneSource = {
      ...O,
      type: 'f64',
      async readRows(y, rows, into) {
        await O.readRows(y, rows, into);
        for (let i = 0; i < rows * O.width; i++) into[i] = into[i]! * 1e-17 - 1e-12;
      },
    };
    const other = await found(H, scaled);
    expect(other.dx).toBeCloseTo(plain.dx, 3);
    expect(other.dy).toBeCloseTo(plain.dy, 3);
  });

  it.each([
    ['noise', (): PlaneSource => noise(11)],
    ['a flat picture', (): PlaneSource => filled(5)],
    ['no data at all', (): PlaneSource => filled(Number.NaN)],
  ])('says unknown of %s', async (_, other) => {
    const { H } = sceneSources({ width: 600, height: 400 });
    expect(await registerPair(H, other())).toEqual({ status: 'unknown', reason: 'no common structure found' });
  });

  it('says unknown of another star field', async () => {
    const { H } = sceneSources({ width: 900, height: 600 });
    const { O } = sceneSources({ width: 900, height: 600, seed: 5 });
    expect((await registerPair(H, O)).status).toBe('unknown');
  });

  it('says unknown of a picture too small to compare', async () => {
    const small = planeSource('small', { width: 40, height: 40, data: new Float32Array(1600) });
    expect(await registerPair(small, small)).toMatchObject({ status: 'unknown', reason: /small/ });
  });
});

const filled = (value: number): PlaneSource =>
  planeSource('filled', { width: 600, height: 400, data: new Float32Array(240_000).fill(value) });

const noise = (seed: number): PlaneSource => {
  const rng = random(seed, 4);
  const data = Float32Array.from({ length: 240_000 }, () => 1000 + 30 * rng.normal());
  return planeSource('noise', { width: 600, height: 400, data });
};
