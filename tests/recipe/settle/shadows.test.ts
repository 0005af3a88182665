import { existsSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { framePosition, surfaceAt } from '../../../lib/prepare/background/surface.ts';
import { fitChannelSurface } from '../../../lib/recipe/settle/find-surfaces.ts';
import type { FoundSurface } from '../../../lib/recipe/settle/found-surface.ts';
import { settleChannels } from '../../../lib/recipe/settle/settle-channels.ts';
import { surfaceWarning } from '../../../lib/recipe/settle/surface-warnings.ts';
import { type PlainImage, readPlainFits } from '../../parity/plain-fits.ts';
import { drawDefect } from '../../prepare/block-fields.ts';

const FILE = '../shared/data/ou5/ou5_oiii.fits';
const ORDERS = [undefined, 1, 2, 3, 4] as const;
const SEEDS = [70, 71, 72, 73];

/** A real master with things planted in it. */
describe.skipIf(!existsSync(FILE))('a planetary nebula in the middle of sky', () => {
  let image: PlainImage;
  let clean: FoundSurface;
  const channelOf = (defect: (x: number, y: number) => number) => {
    const { width, height } = image;
    const data = Float32Array.from(image.data, (v, i) => v + defect(i % width, Math.floor(i / width)));
    return { name: 'O', source: planeSource('O.fits', { width, height, data }) };
  };
  const frame = () => ({ width: image.width, height: image.height, noise: clean.pixelNoise });

  beforeAll(async () => {
    image = readPlainFits(FILE);
    clean = await fitChannelSurface(
      channelOf(() => 0),
      { model: 'surface' },
    );
  });

  it.each(ORDERS)('is warned of at no order without a defect: %s', async (order) => {
    const channel = channelOf(() => 0);
    expect(surfaceWarning(channel, await fitChannelSurface(channel, { model: 'surface', order }))).toEqual([]);
  });

  for (const kind of ['shadow', 'glow'] as const)
    it.each(SEEDS)(`is warned of at every order with a ${kind}, seed %d`, async (seed) => {
      const channel = channelOf(drawDefect(seed, kind, frame()));
      for (const order of ORDERS) {
        const warnings = surfaceWarning(channel, await fitChannelSurface(channel, { model: 'surface', order }));
        expect(warnings.join(), `order ${order}`).toMatch(/^O \(O\.fits\): /);
      }
    });

  it.each(SEEDS)('keeps less than half the noise of a shadow, seed %d', async (seed) => {
    const defect = drawDefect(seed, 'shadow', frame());
    const recipe = { channels: ['O'], matrix: [[1], [1], [1]], background: { model: 'surface' } } as const;
    const plain = { ...recipe, channels: ['O'], matrix: [[1], [1], [1]] };
    const { settled, warnings } = await settleChannels(plain, [channelOf(defect)]);
    const { surface } = settled.channels[0]!;
    expect(warnings.join()).toMatch(/a shadow at the edge .* is taken off/);
    expect(surface!.uncertainty).toBeGreaterThan(0);
    let [left, there, count] = [0, 0, 0];
    const { width, height } = image;
    for (const [k, { x, y }] of clean.grid.blocks.entries()) {
      // Where the master itself is sky.
      if (!clean.fit.used[k] || defect(x, y) > -clean.pixelNoise / 2) continue;
      const [u, v] = [framePosition(x, width), framePosition(y, height)];
      left += (surfaceAt(surface!, u, v) - surfaceAt(clean.fit.surface, u, v) - defect(x, y)) ** 2;
      there += defect(x, y) ** 2;
      count++;
    }
    const inNoise = (squares: number) => Math.sqrt(squares / count) / clean.pixelNoise;
    expect(inNoise(there)).toBeGreaterThan(1.5);
    expect(inNoise(left)).toBeLessThan(0.5);
  });
});
