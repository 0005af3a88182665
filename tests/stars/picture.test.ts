import { describe, expect, it } from 'vitest';
import type { Channel } from '../../lib/measure/measure.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { OutputSample } from '../../lib/plane/picture.ts';
import { layeredChannels } from '../../lib/recipe/settle/layered.ts';
import { settleChannels } from '../../lib/recipe/settle/settle-channels.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { pictureInMemory, renderPicture } from '../../lib/render/picture.ts';
import { drawMaster, EMBERWING, LINES, sceneTruth } from '../../samples/scene/index.ts';
import { inTurn } from '../cases.ts';

const SIZE = { width: 360, height: 240 };
const truth = sceneTruth({ ...EMBERWING, seed: 25, ...SIZE });
const MASTERS: Channel[] = LINES.map((name) => ({
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
const mixOf = async (more: Partial<WrittenRecipe>, sample: OutputSample = 'u16', channels = MASTERS) => {
  const { settled } = await settleChannels({ ...SHO, ...more }, channels);
  const layers = layeredChannels(settled, channels);
  const { writer, picture } = pictureInMemory({ ...SIZE, sample, bands: 3 });
  await renderPicture(layers.channels, settled, { ...SIZE, sample, bands: 3 }, writer, {}, layers.stars);
  const shares = new Float32Array(SIZE.width * SIZE.height);
  const mask = layers.stars?.at(-1);
  await mask?.readRows(0, SIZE.height, shares);
  return { data: picture.data, shares, settled };
};

/** IEC 61966-2-1. */
const decode = (v: number) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
/** Rec. ITU-R BT.709: relative luminance of linear RGB. */
const luminance = ([r, g, b]: readonly number[]) => 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;

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

  it.skipIf(!inTurn('each pixel'))(
    'has in each pixel what lies under its stars and white, at the luminance of the mix',
    async () => {
      const neutral = 0.7;
      const { data: over } = await mixOf({}, 'f32');
      const { data: under } = await mixOf({ stars: { from: 'masters', neutral: 0, size: 0 } }, 'f32');
      const { data, shares } = await mixOf({ stars: { from: 'masters', neutral } }, 'f32');
      let stars = 0;
      // The weights of luminance are written with four digits.
      for (const [i, share] of shares.entries()) {
        if (share === 0) continue;
        stars++;
        const [o, m] = [over, under].map((of) => [0, 1, 2].map((c) => decode(of[3 * i + c]!))) as [number[], number[]];
        const [yo, ym] = [luminance(o), luminance(m)];
        const k = (yo - ym) / (1 - ym);
        for (let c = 0; c < 3; c++) {
          const white = yo >= ym ? m[c]! + k * (1 - m[c]!) : (m[c]! * yo) / ym;
          expect(decode(data[3 * i + c]!)).toBeCloseTo(o[c]! + neutral * share * (white - o[c]!), 4);
        }
      }
      expect(stars).toBeGreaterThan(500);
    },
  );

  it.skipIf(!inTurn('recipe states'))('is the same where the recipe states the noise that was found', async () => {
    const stars = { from: 'masters' } as const;
    const smooth = { strength: 0.5 };
    const found = await mixOf({ stars, smooth });
    const stated = await mixOf({ stars, smooth: { ...smooth, noise: found.settled.smooth!.noise } });
    expect(stated.settled.ownStars?.hash).toBe(found.settled.ownStars?.hash);
    expect(stated.data).toEqual(found.data);
  });

  it.skipIf(!inTurn('mix where'))('has the bytes of the plain mix where nothing is asked for', async () => {
    const plain = await mixOf({});
    const idle = await mixOf({ stars: { from: 'masters', neutral: 0, size: 1 } });
    expect(idle.data).toEqual(plain.data);
    expect(idle.settled).toEqual(plain.settled);
  });

  it.skipIf(!inTurn('its sky'))('keeps its sky and nebula where stars are taken out', async () => {
    const plain = await mixOf({}, 'f32');
    const { data } = await mixOf({ stars: { from: 'masters', neutral: 0, size: 0 } }, 'f32');
    const changed = [...data].filter((value, i) => value !== plain.data[i]).length / data.length;
    expect(changed).toBeGreaterThan(0.005);
    expect(changed).toBeLessThan(0.3);
  });

  it.skipIf(!inTurn('numbers alone'))('holds numbers alone where a line is the same everywhere', async () => {
    const flat = planeSource('flat.fits', { ...SIZE, data: new Float32Array(SIZE.width * SIZE.height).fill(700) });
    const others = MASTERS.filter(({ name }) => name !== 'S');
    const { data, settled } = await mixOf({ stars: { from: 'masters' } }, 'f32', [
      { name: 'S', source: flat },
      ...others,
    ]);
    expect(data.every(Number.isFinite)).toBe(true);
    expect(settled.ownStars?.count).toBeGreaterThan(20);
  });
});
