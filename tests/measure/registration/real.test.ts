import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { doubtOf, isMisfit } from '../../../lib/measure/registration/words.ts';
import { someOf } from '../../cases.ts';
import { errorOf, planeOf, registerPlanes } from './planes.ts';
import { crop, moved, noiseOf, noisy } from './planted.ts';

const DATA = '../shared/data';
const load = (name: string) => planeOf(`${DATA}/${name}.fits`);

/** Registers two masters and returns what was found. */
const pair = async (reference: string, channel: string) => {
  const found = await registerPlanes(await load(reference), await load(channel));
  if (found.status !== 'found') throw new Error(found.reason);
  return found;
};

describe.skipIf(!existsSync(DATA))('real masters', () => {
  // Filters of one integral-field cube: registered by construction, no stars, fronts that differ from line to line.
  it.each(
    someOf(
      [
        ['sii', 0, 0],
        ['oiii', 0, 10],
        ['sii', 1.5, 3],
        ['oiii', 1.5, 0],
        ['sii', 3, 10],
        ['oiii', -3, 3],
      ],
      2,
    ),
  )('%s of the cube, turned by %d° and with its noise × %d, is measured or not claimed', async (line, angle, times) => {
    const h = await load('m42/m42_ha_256_f32');
    const plain = await load(`m42/m42_${line}_256_f32`);
    const turned = angle === 0 ? plain : moved(plain, { angle });
    const found = await registerPlanes(h, times === 0 ? turned : noisy(turned, times * noiseOf(plain), 4711));
    if (found.status !== 'found') throw new Error(found.reason);
    const error = errorOf(found, { angle }, h);
    expect(error).toBeLessThan(1.5);
    expect(error).toBeLessThan(3 * doubtOf(found, h));
    expect(isMisfit(found, h)).toBe(angle !== 0);
  });

  it('exposures of one camera fit, those of another are off by no more than was left', async () => {
    const s = await pair('m42/m42_mixed_ha_590x584_f32', 'm42/m42_mixed_sii_590x584_f32');
    expect(Math.hypot(s.dx, s.dy)).toBeLessThan(0.4);
    expect(isMisfit(s, { width: 590, height: 584 })).toBe(false);
    const o = await pair('m42/m42_mixed_ha_590x584_f32', 'm42/m42_mixed_oiii_590x584_f32');
    expect(Math.hypot(o.dx, o.dy)).toBeLessThan(0.9);
    expect(Math.abs(o.rotation)).toBeLessThan(0.1);
  });

  it('of a planetary nebula lie where its stars do', async () => {
    const { dx, dy, tiles } = await pair('ou5/ou5_ha', 'ou5/ou5_oiii');
    expect(Math.hypot(dx, dy)).toBeLessThan(0.25);
    expect(tiles.filter(({ weight }) => weight > 0).length).toBeGreaterThan(5);
  });

  it('of different fields have nothing in common', async () => {
    await expect(pair('m42/m42_mixed_ha_590x584_f32', 'ou5/ou5_oiii')).rejects.toThrow('no common structure');
    const h = await load('m42/m42_mixed_ha_590x584_f32');
    for (const [x, y] of [
      [300, 0],
      [0, 300],
    ] as const)
      expect((await registerPlanes(crop(h, 0, 0, 256, 256), crop(h, x, y, 256, 256))).status).toBe('unknown');
  });
});
