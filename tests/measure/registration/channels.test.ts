import { describe, expect, it } from 'vitest';
import { referenceOf, registerChannels } from '../../../lib/measure/registration/channels.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { someOf } from '../../cases.ts';
import { registerPair } from './planes.ts';
import { sceneSources } from './scene.ts';

const flat = (file: string, width = 80, height = 70) =>
  planeSource(file, { width, height, data: new Float32Array(width * height).fill(5) });
const named = (...names: string[]) => names.map((name) => ({ name, source: flat(`${name}.fits`) }));

describe('the reference', () => {
  it('is H, by any of its names, or else the first', () => {
    const of = (...names: string[]) => referenceOf(named(...names))?.name;
    expect([of('S', 'H', 'O'), of('O', 'Halpha'), of('O', 'S'), of()]).toEqual(['H', 'Halpha', 'O', undefined]);
  });
});

describe('channels', () => {
  it('are compared with the reference, each but itself, in their order', async () => {
    const told: number[] = [];
    const found = await registerChannels(named('S', 'H', 'O', 'N'), { progress: (done) => told.push(done) });
    expect(found.map(({ channel, reference, status }) => [channel, reference, status])).toEqual(
      ['S', 'O', 'N'].map((name) => [name, 'H', 'unknown']),
    );
    expect(told).toEqual([1 / 3, 2 / 3, 1]);
    expect(await registerChannels(named('S'))).toEqual([]);
    expect(await registerChannels([])).toEqual([]);
  });

  it('can be stopped', async () => {
    const stopped = registerChannels(named('S', 'H'), { signal: AbortSignal.abort() });
    await expect(stopped).rejects.toMatchObject({ tag: 'cancelled' });
  });
});

describe('small scenes', () => {
  const size = { width: 320, height: 240 };
  it.each(
    someOf(
      [
        ['a shift', { dx: 3.25, dy: -1.5 }],
        ['a turn', { angle: 1.5, dx: -2 }],
        ['another frame', { crop: { left: 4, bottom: 9 } }],
      ],
      1,
    ),
  )('show %s', async (_, misfit) => {
    const { H, O } = sceneSources({ ...size, misfit: { O: misfit } });
    const found = await registerPair(H, O);
    if (found.status !== 'found') throw new Error(found.reason);
    const { dx = 0, dy = 0, angle = 0, crop } = misfit as { dx?: number; dy?: number; angle?: number; crop?: object };
    expect(Math.abs(found.dx - (dx - (crop ? 4 : 0)))).toBeLessThan(0.2);
    expect(Math.abs(found.dy - dy)).toBeLessThan(0.2);
    expect(Math.abs(found.rotation - angle)).toBeLessThan(0.1);
    expect(Math.abs(found.scale - 1)).toBeLessThan(1e-3);
    for (const tile of found.tiles) {
      expect(tile.x % 1).toBe(0.5);
      // A point goes about where the fit says, if its tile counts.
      const turn = (found.rotation * Math.PI) / 180;
      const wanted = [found.dx - turn * (tile.y - 119.5), found.dy + turn * (tile.x - 159.5)];
      if (tile.weight > 0) expect(Math.hypot(tile.dx - wanted[0]!, tile.dy - wanted[1]!)).toBeLessThan(2);
    }
    expect(found.tiles.filter(({ weight }) => weight > 0).length).toBeGreaterThanOrEqual(4);
  });

  it.each(
    someOf(
      [
        [-40, 10, 12],
        [140, -8, 0],
        [0, 70, -45],
      ],
      1,
    ),
  )('are found when turned by %d° and moved by %d, %d', async (angle, dx, dy) => {
    const { H, S } = sceneSources({ ...size, misfit: { S: { angle, dx, dy } } });
    const found = await registerPair(H, S);
    if (found.status !== 'found') throw new Error(found.reason);
    expect(Math.abs(((found.rotation - angle + 540) % 360) - 180)).toBeLessThan(0.1);
    expect(Math.hypot(found.dx - dx, found.dy - dy)).toBeLessThan(0.3);
  });
});
