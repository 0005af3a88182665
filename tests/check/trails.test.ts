import { describe, expect, it } from 'vitest';
import type { Defect } from '../../lib/check/defects.ts';
import { findDefects } from '../../lib/check/find-defects.ts';
import { someOf } from '../cases.ts';
import { cleanPlanes, drawsOf, linesOf, NAMES, NOISE, type PlantedTrail, plantTrail, SIZE } from './planted.ts';

const isTrail = ({ kind }: Defect) => kind === 'trail';

/** How far the middle of what was found lies beside what was planted, and by how many degrees it is turned. */
const missBy = ({ x, y, angle }: PlantedTrail, { from, to, angle: found = 0 }: Defect) => {
  const [mx, my] = [(from[0] + to[0]) / 2 - x, (from[1] + to[1]) / 2 - y];
  const turned = Math.abs(((found - (angle * 180) / Math.PI + 90 + 360) % 180) - 90);
  return { off: Math.abs(my * Math.cos(angle) - mx * Math.sin(angle)), turned };
};

describe('trails', () => {
  // Seeds that served for nothing else.
  it.each(someOf([7101, 7102], 1))('are found where they were planted, and nowhere else: %i', async (seed) => {
    const draw = drawsOf(seed);
    const planes = cleanPlanes(seed);
    const name = NAMES[Math.floor(draw(0, 3))]!;
    const width = draw(2, 8);
    const trail = {
      x: draw(0.35, 0.65) * SIZE.width,
      y: draw(0.35, 0.65) * SIZE.height,
      angle: draw(0, Math.PI),
      half: seed % 2 === 0 ? 2000 : 120,
      width,
      depth: 0,
    };
    const length = plantTrail(new Float32Array(SIZE.width * SIZE.height), trail);
    const planted = { ...trail, depth: (NOISE * 75) / Math.sqrt(length * width) };
    plantTrail(planes[name], planted);
    const found = (await findDefects(linesOf(planes))).filter(isTrail);
    expect(found.map(({ channel }) => channel)).toEqual([name]);
    const { off, turned } = missBy(planted, found[0]!);
    expect(off).toBeLessThan(2);
    expect(turned).toBeLessThan(0.3);
    expect(found[0]!.width! / width).toBeGreaterThan(0.5);
    expect(found[0]!.width! / width).toBeLessThan(2);
    expect(found[0]!.depth! / planted.depth).toBeGreaterThan(0.6);
    expect(found[0]!.depth! / planted.depth).toBeLessThan(1.5);
    // Only what reaches the edge is sure.
    expect(found[0]!.certainty).toBe(seed % 2 === 0 ? 'sure' : 'possible');
  });

  it('are not seen where all lines have them', async () => {
    const planes = cleanPlanes(7201);
    const line = { x: 230, y: 170, angle: 0.7, half: 2000, width: 4, depth: 8 };
    for (const name of NAMES) plantTrail(planes[name], line);
    expect((await findDefects(linesOf(planes))).filter(isTrail)).toEqual([]);
  });

  it('may be dark', async () => {
    const planes = cleanPlanes(7301);
    plantTrail(planes.H, { x: 230, y: 170, angle: 2.1, half: 2000, width: 5, depth: -20 });
    const [trail, ...others] = (await findDefects(linesOf(planes))).filter(isTrail);
    expect(others).toEqual([]);
    expect(trail).toMatchObject({ channel: 'H', sign: -1, certainty: 'sure' });
    expect(trail!.depth).toBeGreaterThan(12);
  });
});
