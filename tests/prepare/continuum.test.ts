import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { preparedChannels } from '../../lib/recipe/settle/prepared.ts';
import { settleChannels } from '../../lib/recipe/settle/settle-channels.ts';
import type { Recipe } from '../../lib/recipe/written/schema.ts';
import { noiseOf, sceneTruth } from '../../samples/scene/index.ts';
import { random } from '../../samples/scene/random.ts';

const size = { width: 900, height: 600 };
const { H } = sceneTruth({ ...size, coverage: false, gradient: false });
const rng = random(4, 2);
/** A broadband picture of the same stars, ten times as bright as in the line, over a sky of its own. */
const SHARE = 0.1;
const broad = H.stars.map((v) => v / SHARE + 2000 + 25 * rng.normal());
const line = H.mean.map((v) => v + noiseOf(v, 36) * rng.normal());
const channel = (name: string, data: Float32Array) => ({
  name,
  source: planeSource(`${name}.fits`, { ...size, data }),
});
const channels = [channel('H', line), channel('R', broad)];
const recipe: Recipe = { channels: ['H'], matrix: [[1], [1], [1]], continuum: { H: { from: 'R' } } };

describe('continuum', () => {
  it('is found from the stars within 3 % under nebula', async () => {
    const { settled, warnings } = await settleChannels(recipe, channels);
    const { continuum } = settled.channels[0]!;
    expect(continuum).toMatchObject({ from: 'R' });
    expect(Math.abs(continuum!.k / SHARE - 1)).toBeLessThan(0.03);
    expect(Math.abs(continuum!.background - 2000)).toBeLessThan(5);
    expect(warnings.join()).toMatch(/of R\.fits is subtracted, found from \d+ stars/);
  });

  it('leaves the nebula where stars were', async () => {
    const { settled } = await settleChannels(recipe, channels);
    const [prepared] = preparedChannels(settled, channels);
    const into = new Float32Array(size.width * size.height);
    await prepared!.source.readRows(0, size.height, into);
    let before = 0;
    let after = 0;
    H.stars.forEach((star, i) => {
      if (star < 300 || H.mean[i]! > 40000) return;
      const truth = H.mean[i]! - star;
      before += line[i]! - truth;
      after += into[i]! - truth;
    });
    expect(before).toBeGreaterThan(10000);
    expect(Math.abs(after / before)).toBeLessThan(0.05);
  });

  it('takes a share that is given, and says where none can be found', async () => {
    const given = await settleChannels({ ...recipe, continuum: { H: { from: 'R', k: 0.25 } } }, channels);
    expect(given.settled.channels[0]!.continuum!.k).toBe(0.25);
    const dark = channel(
      'R',
      H.mean.map(() => 500 + rng.normal()),
    );
    await expect(settleChannels(recipe, [channels[0]!, dark])).rejects.toMatchObject({
      tag: 'input',
      message: expect.stringMatching(/too few clear stars \(\d\)/),
    });
  });
});
