import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { OutputSample } from '../../lib/plane/picture.ts';
import { settleChannels } from '../../lib/recipe/settle/channels.ts';
import { layeredChannels } from '../../lib/recipe/settle/layered.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { pictureInMemory, renderPicture } from '../../lib/render/picture.ts';
import { drawMaster, EMBERWING, LINES, sceneTruth } from '../../samples/scene/index.ts';

const SIZE = { width: 360, height: 240 };
const truth = sceneTruth({ ...EMBERWING, seed: 25, ...SIZE });
const channels = LINES.map((name) => ({
  name,
  source: planeSource(`${name}.fits`, { ...SIZE, data: Float32Array.from(drawMaster(truth[name], 25)) }),
}));
const SHO: WrittenRecipe = {
  channels: [...LINES],
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
};

/** A mix as a picture, and the share of stars in each pixel where they are neutral. */
const mixOf = async (more: Partial<WrittenRecipe>, sample: OutputSample = 'u16') => {
  const { settled } = await settleChannels({ ...SHO, ...more }, channels);
  const layers = layeredChannels(settled, channels);
  const { writer, picture } = pictureInMemory({ ...SIZE, sample, bands: 3 });
  await renderPicture(layers.channels, settled, { ...SIZE, sample, bands: 3 }, writer, {}, layers.stars);
  const shares = new Float32Array(SIZE.width * SIZE.height);
  const mask = layers.stars?.at(-1);
  await mask?.readRows(0, SIZE.height, shares);
  return { data: picture.data, shares, settled };
};

const chroma = (data: ArrayLike<number>, i: number) => {
  const rgb = [data[3 * i]!, data[3 * i + 1]!, data[3 * i + 2]!];
  return (Math.max(...rgb) - Math.min(...rgb)) / 65535;
};

describe('a mix with neutral stars', () => {
  it.each(['u8', 'u16', 'f32'] as const)('has the bytes of the plain mix outside of stars (%s)', async (sample) => {
    const plain = await mixOf({}, sample);
    const { data, shares } = await mixOf({ stars: { from: 'masters' } }, sample);
    let outside = 0;
    for (const [i, share] of shares.entries()) {
      if (share > 0) continue;
      outside++;
      for (let c = 0; c < 3; c++) if (data[3 * i + c] !== plain.data[3 * i + c]) expect.unreachable(`pixel ${i}`);
    }
    expect(outside).toBeGreaterThan(0.7 * shares.length);
    expect(outside).toBeLessThan(shares.length);
  });

  it('has stars of less colour, the more neutral they are', async () => {
    const { settled, data: plain } = await mixOf({});
    const half = await mixOf({ stars: { from: 'masters', neutral: 0.5 } });
    const whole = await mixOf({ stars: { from: 'masters' } });
    expect(settled.ownStars).toBeUndefined();
    const peaks = [...whole.shares.keys()].filter((i) => whole.shares[i] === 1 && plain[3 * i + 1]! > 40000);
    const mean = (data: ArrayLike<number>) => peaks.reduce((sum, i) => sum + chroma(data, i), 0) / peaks.length;
    expect(peaks.length).toBeGreaterThan(50);
    expect(mean(half.data)).toBeLessThan(0.9 * mean(plain));
    expect(mean(whole.data)).toBeLessThan(0.9 * mean(half.data));
  });

  it('has the bytes of the plain mix where nothing is asked for', async () => {
    const plain = await mixOf({});
    const idle = await mixOf({ stars: { from: 'masters', neutral: 0, size: 1 } });
    expect(idle.data).toEqual(plain.data);
    expect(idle.settled).toEqual(plain.settled);
  });

  it('keeps its sky and nebula where stars are taken out', async () => {
    const plain = await mixOf({}, 'f32');
    const { data } = await mixOf({ stars: { from: 'masters', neutral: 0, size: 0 } }, 'f32');
    const changed = [...data].filter((value, i) => value !== plain.data[i]).length / data.length;
    expect(changed).toBeGreaterThan(0.005);
    expect(changed).toBeLessThan(0.3);
  });
});
