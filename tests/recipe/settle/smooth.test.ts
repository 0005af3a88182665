import { describe, expect, it } from 'vitest';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { samplesFor } from '../../../lib/plane/strips.ts';
import { preparationKey } from '../../../lib/recipe/settle/channels.ts';
import { statesAllNumbers } from '../../../lib/recipe/settle/complete.ts';
import { preparedChannels } from '../../../lib/recipe/settle/prepared.ts';
import { settleChannels } from '../../../lib/recipe/settle/settle-channels.ts';
import { settledRecipe } from '../../../lib/recipe/settle/settled-recipe.ts';
import { recipeHash } from '../../../lib/recipe/written/hash.ts';
import { checkedRecipe, loadRecipe } from '../../../lib/recipe/written/parse.ts';
import { plainRecipe } from '../../../lib/recipe/written/plain.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { calmField } from '../../smooth/fields.ts';

const SHO: WrittenRecipe = {
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
};
const [WIDTH, HEIGHT] = [230, 200];
const planes = calmField(WIDTH, HEIGHT, 41);
const channels = ['S', 'H', 'O'].map((name, k) => ({
  name,
  source: planeSource(name, { width: WIDTH, height: HEIGHT, data: planes[k]! }),
}));

const valuesOf = async (source: (typeof channels)[number]['source']) => {
  const data = samplesFor(source, WIDTH * HEIGHT);
  await source.readRows(0, HEIGHT, data);
  return data;
};

describe('smooth in a recipe', () => {
  it('finds noise and guide, and changes the lines alone', async () => {
    const plain = await settleChannels(SHO, channels);
    const { settled, warnings } = await settleChannels({ ...SHO, smooth: { strength: 0.8 } }, channels);
    const { smooth, ...rest } = settled;
    // Levels and curves are those of the lines as they are.
    expect(rest).toEqual(plain.settled);
    expect(smooth).toMatchObject({ strength: 0.8, scales: 4, guide: 'H', lines: ['S', 'O'] });
    expect(smooth!.frame).toEqual({ width: WIDTH, height: HEIGHT });
    expect(Object.keys(smooth!.noise)).toEqual(['S', 'H', 'O']);
    expect(smooth!.noise.O!.variance / 4).toBeCloseTo(1, 0);
    expect(warnings.join()).toContain('guided by H');
    const [S, H, O] = preparedChannels(settled, channels);
    expect(H!.source).toBe(channels[1]!.source);
    for (const line of [S!, O!])
      expect(await valuesOf(line.source)).not.toEqual(
        await valuesOf(channels.find((c) => c.name === line.name)!.source),
      );
  });

  it('of strength 0 is as good as none', async () => {
    const none: WrittenRecipe = { ...SHO, smooth: { strength: 0, scales: 6, guide: 'H' } };
    expect(await settleChannels(none, channels)).toEqual(await settleChannels(SHO, channels));
    expect(await recipeHash(none)).toBe(await recipeHash(SHO));
    expect(await recipeHash({ ...SHO, smooth: { strength: 1, scales: 4, lines: ['O', 'S'] } })).toBe(
      await recipeHash({ ...SHO, smooth: { strength: 1, lines: ['S', 'O'] } }),
    );
    expect(await recipeHash({ ...SHO, smooth: { strength: 1 } })).not.toBe(await recipeHash(SHO));
    expect(preparationKey(await plainRecipe(none))).toBe(preparationKey(await plainRecipe(SHO)));
    expect(preparationKey(await plainRecipe({ ...SHO, smooth: { strength: 0.2 } }))).toBe(
      preparationKey(await plainRecipe({ ...SHO, smooth: { strength: 0.9 } })),
    );
  });

  it('can be driven by a knob, and be stated in full', async () => {
    const written: WrittenRecipe = { ...SHO, knobs: { calm: { value: 0.4 } }, smooth: { strength: '2 * calm' } };
    const { settled } = await settleChannels(written, channels);
    expect(settled.smooth!.strength).toBe(0.8);
    const again = settledRecipe(settled, await plainRecipe(written));
    expect(statesAllNumbers(again)).toBe(true);
    expect(statesAllNumbers({ ...again, smooth: { ...again.smooth, noise: {} } })).toBe(false);
    expect(statesAllNumbers({ ...again, smooth: { ...again.smooth, guide: undefined } })).toBe(false);
    const { smooth } = (await settleChannels(checkedRecipe(JSON.parse(JSON.stringify(again))), channels)).settled;
    expect(smooth).toEqual(settled.smooth);
  });

  it('says what is wrong, and where', async () => {
    const faults = async (smooth: unknown, knobs?: unknown) =>
      loadRecipe(JSON.stringify({ ...SHO, knobs, smooth })).then(
        () => [],
        (cause) => cause.faults.map(({ path, message }: { path: string; message: string }) => `${path}: ${message}`),
      );
    expect(
      await faults({
        strength: 0.5,
        lines: ['S', 'X'],
        guide: 'Y',
        noise: { Z: { level: 0, variance: 1, perCount: 0, neighbours: 0 } },
      }),
    ).toEqual([
      '$.smooth.lines[1]: there is no channel X; channels: S, H, O',
      '$.smooth.guide: there is no channel Y; channels: S, H, O',
      '$.smooth.noise.Z: there is no channel Z; channels: S, H, O',
    ]);
    expect(await faults({ strength: 'calm * 3' }, { calm: { value: 0.5 } })).toEqual([
      '$.smooth.strength: "calm * 3": gives 1.5, which is not within 0 to 1',
    ]);
    expect((await faults({ strength: 'calm' }))[0]).toContain('$.smooth.strength: "calm"');
    expect((await faults({ strength: 2, scales: 7, lines: [] })).length).toBe(3);
    expect(await faults({ strenght: 1 })).toEqual(['$.smooth.strenght: unknown key (did you mean strength?)']);
  });

  it('smooths nothing where its guide has no weight or no line is left', async () => {
    const { settled, warnings } = await settleChannels(
      {
        ...SHO,
        matrix: [
          [1, 0, 0],
          [0, 0, 0],
          [0, 0, 1],
        ],
        balance: 'as-written',
        smooth: { strength: 1, guide: 'H' },
      },
      channels,
    );
    expect(settled.smooth).toBeUndefined();
    expect(warnings).toContain('nothing is smoothed: its guide, H, has no weight in this mix');
    const flat = {
      name: 'S',
      source: planeSource('S', { width: WIDTH, height: HEIGHT, data: planes[0]!.map(() => 7) }),
    };
    const two = await settleChannels({ ...SHO, smooth: { strength: 1, guide: 'H', lines: ['S'] } }, [
      flat,
      ...channels.slice(1),
    ]);
    expect(two.settled.smooth).toBeUndefined();
    expect(two.warnings).toContain('S shows no noise of its own: it is not smoothed');
  });

  it('smooths a smaller copy over fewer scales', async () => {
    const { settled } = await settleChannels({ ...SHO, smooth: { strength: 1 } }, channels);
    const small = channels.map(({ name, source }, k) => {
      const data = new Float32Array((WIDTH / 2) * (HEIGHT / 2));
      for (let i = 0; i < data.length; i++) {
        const at = 2 * (i % (WIDTH / 2)) + 2 * WIDTH * Math.floor(i / (WIDTH / 2));
        const of = planes[k]!;
        data[i] = (of[at]! + of[at + 1]! + of[at + WIDTH]! + of[at + WIDTH + 1]!) / 4;
      }
      return { name, source: planeSource(source.file, { width: WIDTH / 2, height: HEIGHT / 2, data }) };
    });
    const large = await valuesOf(preparedChannels(settled, channels)[2]!.source);
    const found = new Float32Array((WIDTH / 2) * (HEIGHT / 2));
    await preparedChannels(settled, small)[2]!.source.readRows(0, HEIGHT / 2, found);
    let [error, before] = [0, 0];
    const raw = new Float32Array(found.length);
    await small[2]!.source.readRows(0, HEIGHT / 2, raw);
    for (let i = 0; i < found.length; i++) {
      const at = 2 * (i % (WIDTH / 2)) + 2 * WIDTH * Math.floor(i / (WIDTH / 2));
      const mean = (large[at]! + large[at + 1]! + large[at + WIDTH]! + large[at + WIDTH + 1]!) / 4;
      error += (found[i]! - mean) ** 2;
      before += (raw[i]! - mean) ** 2;
    }
    expect(Math.sqrt(error / before)).toBeLessThan(0.25);
    const tiny = channels.map(({ name, source }) => ({
      name,
      source: planeSource(source.file, { width: 14, height: 12, data: new Float32Array(168) }),
    }));
    expect(preparedChannels(settled, tiny)).toEqual(tiny);
  });
});
