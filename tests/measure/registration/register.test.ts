import { beforeAll, describe, expect, it } from 'vitest';
import type { Registered } from '../../../lib/measure/registration/report.ts';
import { doubtOf, isMisfit } from '../../../lib/measure/registration/words.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import type { Plane, PlaneSource } from '../../../lib/plane/plane.ts';
import { random } from '../../../samples/scene/random.ts';
import { inTurn, someOf } from '../../cases.ts';
import { errorOf, planeOf, registerPair, registerPlanes } from './planes.ts';
import { crop, moved, noisy, type Planted } from './planted.ts';

/** The masters of the sample scene, read once for all tests. */
let lines: Readonly<Record<'S' | 'H' | 'O', Plane>>;
beforeAll(async () => {
  const of = (line: string) => planeOf(`samples/masters/emberwing-${line}.fits`);
  lines = { S: await of('S'), H: await of('H'), O: await of('O') };
});

const found = async (a: Plane, b: Plane): Promise<Registered> => {
  const result = await registerPlanes(a, b);
  if (result.status !== 'found') throw new Error(result.reason);
  return result;
};

/** What is planted, and in which line. */
const PLANTED: readonly (readonly [string, 'S' | 'O', Planted])[] = [
  ['nothing', 'S', {}],
  ['nothing', 'O', {}],
  ['a shift', 'S', { dx: 3.25, dy: -1.5 }],
  ['a shift and a turn', 'O', { dx: 3.25, dy: -1.5, angle: -2.5 }],
  ['a small turn', 'S', { angle: 0.2 }],
  ['a turn and another scale', 'O', { angle: 1.2, scale: 1.012 }],
  ['a shift beyond any tile', 'O', { dx: 150, dy: -90 }],
  ['a quarter turn and more', 'S', { angle: -100, dx: 20 }],
  ['a frame upside down', 'O', { angle: 180, dy: 4 }],
];

describe('on the sample scene', () => {
  it.each(someOf(PLANTED, 2))('%s planted in %s is measured within 0.1 px and 0.05°', async (_, line, planted) => {
    const { dx, dy, rotation, scale, residual, uncertainty } = await found(lines.H, moved(lines[line], planted));
    expect(Math.abs(dx - (planted.dx ?? 0))).toBeLessThan(0.1);
    expect(Math.abs(dy - (planted.dy ?? 0))).toBeLessThan(0.1);
    const turn = (rotation - (planted.angle ?? 0) + 540) % 360;
    expect(Math.abs(turn - 180)).toBeLessThan(0.05);
    expect(Math.abs(scale - (planted.scale ?? 1))).toBeLessThan(3e-4);
    expect(residual).toBeLessThan(0.3);
    expect(uncertainty.shift).toBeLessThan(0.2);
  });

  it.skipIf(!inTurn('is measured'))('a crop is measured, and so is another size', async () => {
    const other = crop(lines.O, 0, 1, 1197, 799);
    const { dx, dy } = await found(lines.H, other);
    expect(Math.hypot(dx, dy + 1)).toBeLessThan(0.1);
  });

  it.skipIf(!inTurn('it turned'))('a piece of it turned by 1.5° is measured within 0.15 px', async () => {
    const piece = (line: 'H' | 'O') => crop(lines[line], 200, 100, 512, 512);
    const result = await found(piece('H'), moved(piece('O'), { angle: 1.5 }));
    expect(errorOf(result, { angle: 1.5 }, piece('H'))).toBeLessThan(0.15);
  });

  it.skipIf(!inTurn('noise makes'))('more noise makes it less certain, not wrong', async () => {
    const planted = { dx: 3.25, dy: -1.5 };
    const [H, S] = [lines.H, moved(lines.S, planted)];
    const clear = await found(H, S);
    const result = await found(H, noisy(S, 100, 5));
    expect(errorOf(result, planted, H)).toBeLessThan(3 * doubtOf(result, H));
    expect(doubtOf(result, H)).toBeGreaterThan(doubtOf(clear, H));
    expect(isMisfit(result, H)).toBe(true);
  });

  it.skipIf(!inTurn('the turn'))('tiles show the turn', async () => {
    const { tiles } = await found(lines.H, moved(lines.O, { angle: 0.3 }));
    const kept = tiles.filter(({ weight }) => weight > 0);
    expect(kept.length).toBeGreaterThan(8);
    const turn = (0.3 * Math.PI) / 180;
    for (const { x, y, dx, dy } of kept) {
      expect(Math.abs(dx + turn * (y - 399.5))).toBeLessThan(0.5);
      expect(Math.abs(dy - turn * (x - 599.5))).toBeLessThan(0.5);
    }
  });
});

describe('registration', () => {
  it('does not depend on pedestal, strength or units of the values', async () => {
    const [h, o] = [crop(lines.H, 300, 200, 320, 256), crop(lines.O, 301, 200, 320, 256)];
    const plain = await found(h, o);
    const source = planeSource('o', o);
    const scaled: PlaneSource = {
      ...source,
      type: 'f64',
      async readRows(y, rows, into) {
        await source.readRows(y, rows, into);
        for (let i = 0; i < rows * o.width; i++) into[i] = into[i]! * 1e-30 - 1e-25;
      },
    };
    const other = await registerPair(planeSource('h', h), scaled);
    expect(other).toMatchObject({ status: 'found', dx: expect.closeTo(plain.dx, 2), dy: expect.closeTo(plain.dy, 2) });
  });

  it.skipIf(!inTurn('no place'))('names no place for a picture without a counterpart', async () => {
    const h = crop(lines.H, 0, 0, 320, 256);
    const rng = random(11, 4);
    const filled = (value: () => number): Plane => ({ ...h, data: h.data.map(value) });
    for (const other of [filled(() => 1000 + 30 * rng.normal()), filled(() => 5), filled(() => Number.NaN)])
      expect(await registerPlanes(h, other)).toEqual({ status: 'unknown', reason: 'no common structure found' });
    expect((await registerPlanes(h, crop(lines.O, 800, 500, 320, 256))).status).toBe('unknown');
    const mirrored = { ...h, data: h.data.map((_, i) => h.data[i + h.width - 1 - 2 * (i % h.width)]!) };
    expect((await registerPlanes(h, mirrored)).status).toBe('unknown');
  });

  it('says unknown of a picture too small to compare', async () => {
    const small = crop(lines.H, 0, 0, 63, 200);
    expect(await registerPlanes(small, small)).toMatchObject({ status: 'unknown', reason: /small/ });
  });
});
