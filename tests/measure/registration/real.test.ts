import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { registerPair } from '../../../lib/measure/registration/register.ts';
import { closeMasters, openMasters } from '../../../lib/node/masters.ts';

const DATA = '../shared/data';

/** Registers two files and returns what was found. */
const pair = async (reference: string, channel: string) => {
  const masters = await openMasters({ A: `${DATA}/${reference}.fits`, B: `${DATA}/${channel}.fits` });
  try {
    const found = await registerPair(masters[0]!.source, masters[1]!.source);
    if (found.status !== 'found') throw new Error(found.reason);
    return found;
  } finally {
    await closeMasters(masters);
  }
};

describe.skipIf(!existsSync(DATA))('real masters', () => {
  // Filters of one integral-field cube: registered by construction, no stars, fronts that differ from line to line.
  it.each(['sii', 'oiii'])('%s of the cube lies on H within a sixth of a pixel', async (line) => {
    const { dx, dy, rotation, uncertainty } = await pair('m42/m42_ha_256_f32', `m42/m42_${line}_256_f32`);
    expect(Math.hypot(dx, dy)).toBeLessThan(1 / 6);
    expect(Math.abs(rotation)).toBeLessThan(3 * uncertainty.rotation);
  });

  // One camera for S and H, the cube for O: cropped by whole pixels, so off by up to about half a pixel each way.
  it('exposures of one camera fit, those of another are off by a fraction of a pixel', async () => {
    const s = await pair('m42/m42_mixed_ha_590x584_f32', 'm42/m42_mixed_sii_590x584_f32');
    expect(Math.hypot(s.dx, s.dy)).toBeLessThan(0.25);
    const o = await pair('m42/m42_mixed_ha_590x584_f32', 'm42/m42_mixed_oiii_590x584_f32');
    expect(Math.hypot(o.dx, o.dy)).toBeGreaterThan(0.4);
    expect(Math.hypot(o.dx, o.dy)).toBeLessThan(0.9);
    expect(Math.abs(o.rotation)).toBeLessThan(0.1);
  });

  it.each(['oiii', 'heii'])('%s of the planetary nebula lies on H within a fifth of a pixel', async (line) => {
    const { dx, dy, tiles } = await pair('ou5/ou5_ha', `ou5/ou5_${line}`);
    expect(Math.hypot(dx, dy)).toBeLessThan(0.2);
    expect(tiles.filter(({ weight }) => weight > 0).length).toBeGreaterThan(15);
  });

  it('different fields have nothing in common', async () => {
    await expect(pair('m42/m42_mixed_ha_590x584_f32', 'ou5/ou5_oiii')).rejects.toThrow('no common structure');
  });
});
