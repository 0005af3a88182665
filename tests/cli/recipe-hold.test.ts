import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { srgb } from '../../lib/colour/spaces/srgb.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

const words = asWords(SMALL);
const hold = (...more: string[]) => linewash(['recipe', 'hold', 'sho', ...words, ...more]);
/** The mean display values of a box of a picture, 0…1, as they stand in the file. */
const meanOf = async (file: string, left: number, top: number, width: number, height: number) => {
  const box = { left, top, width, height };
  const { data, info } = await sharp(file).keepIccProfile().extract(box).raw().toBuffer({ resolveWithObject: true });
  const sums = [0, 0, 0];
  for (const [i, v] of data.entries()) if (i % info.channels < 3) sums[i % info.channels]! += v;
  return sums.map((sum) => sum / (width * height) / 255);
};

describe('linewash recipe hold', () => {
  it('prints what was asked for, what comes of it and what it costs', { timeout: 60_000 }, async () => {
    const ran = await hold('--place', '240,160=0.06@235', '--quiet');
    expect(ran.code, ran.err).toBe(0);
    const [places, cost, weights] = ran.out.split('\n\n');
    expect(places).toMatch(
      /^place +asked for +got +difference\n239,159,3,3 +#\w{6} 0\.060@235 +#\w{6} .* +0\.00\d\nsky +#/,
    );
    expect(Number(/noise: ([\d.]+) ×/.exec(cost!)![1])).toBeLessThanOrEqual(1.5);
    expect(weights).toMatch(/^weights +S +H +O\nred +-?[\d.]+ +-?[\d.]+ +-?[\d.]+\ngreen /);
  });

  it('warns of a large weight, which the result names', { timeout: 60_000 }, async () => {
    // O is dark and free of noise for its white is far away: only a large weight makes blue of it.
    const faint = JSON.stringify({
      channels: ['S', 'H', 'O'],
      matrix: [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ],
      balance: 'as-written',
      levels: { O: { black: 0, white: 60_000 } },
      stretch: { O: { curve: 'linear' } },
    });
    const ran = await linewash(['recipe', 'hold', faint, ...words, '--place', '240,160=#2040c0', '--quiet', '--json']);
    expect(ran.code, ran.err).toBe(0);
    const { large, weights } = JSON.parse(ran.out);
    const most = Math.max(...weights.flat().map(Math.abs));
    expect(Math.abs(large.weight)).toBe(most);
    expect(most).toBeGreaterThan(3);
    expect(ran.err).toContain(
      `the weight of ${large.channel} in ${large.colour} is ${large.weight.toFixed(2)}, so errors`,
    );
  });

  it('writes a recipe whose picture has the colour there, and grey sky', { timeout: 120_000 }, () =>
    inFolder(async (folder) => {
      const [recipe, picture] = [join(folder, 'held.json'), join(folder, 'held.png')];
      const place = '192,161,6,6=0.05@75';
      const ran = await hold('--place', place, '-o', recipe, '--json');
      expect(ran.code, ran.err).toBe(0);
      const said = JSON.parse(ran.out);
      expect(said).toMatchObject({ output: recipe, boxes: [{ x: 192, y: 161, width: 6, height: 6 }], conflicts: [] });
      const written = JSON.parse(readFileSync(recipe, 'utf8'));
      expect(written).toMatchObject({ balance: 'as-written', matrix: said.weights });
      expect((await linewash(['mix', recipe, ...words, '-o', picture])).code).toBe(0);
      const got = said.places[0].got.map(srgb.encode);
      for (const [band, v] of (await meanOf(picture, 192, 161, 6, 6)).entries()) expect(v).toBeCloseTo(got[band], 2);
      // Held once, it is held: asking again changes next to nothing.
      const again = await linewash(['recipe', 'hold', recipe, ...words, '--place', place]);
      expect(again.out).toMatch(/noise: 1\.00 ×/);
    }),
  );

  it.each(['ember', 'kiln', 'lantern'])('takes %s: knobs, lines and lightness give way to weights', async (recipe) => {
    const ran = await linewash(['recipe', 'hold', recipe, ...words, '--place', '200,150,12,9=0.05@75', '--json']);
    expect(ran.code, ran.err).toBe(0);
    const { recipe: written, places } = JSON.parse(ran.out);
    expect(written).not.toHaveProperty('knobs');
    expect(written).not.toHaveProperty('lines');
    expect(places[0].left).toBeLessThan(0.02);
    const checked = await linewash(['recipe', 'check', JSON.stringify(written)]);
    expect(checked.code, checked.err).toBe(0);
  });

  it('mixes in light: the recipe gives the same colour when it is settled again', { timeout: 60_000 }, async () => {
    const light = JSON.stringify({
      mixIn: 'light',
      matrix: [
        [1, 0.2, 0],
        [0.1, 1, 0.3],
        [0, 0.2, 1],
      ],
      balance: 'rows',
    });
    const first = await linewash(['recipe', 'hold', light, ...words, '--place', '240,160=0.05@75', '--json']);
    expect(first.code, first.err).toBe(0);
    const { recipe, places } = JSON.parse(first.out);
    const again = await linewash([
      'recipe',
      'hold',
      JSON.stringify(recipe),
      ...words,
      '--place',
      '240,160=0.05@75',
      '--json',
    ]);
    const held = JSON.parse(again.out);
    for (const [b, v] of places[0].got.entries()) expect(held.places[0].wanted[b]).toBeCloseTo(v, 3);
    expect(held.price).toBeCloseTo(1, 2);
  });

  it('says which wishes conflict', async () => {
    const ran = await hold('--place', '240,160=0.12@75', '--place', '241,161=0.12@255');
    expect(ran.code).toBe(0);
    expect(ran.err).toMatch(
      /place 1 misses its colour by 0\.\d{3}: its lines have nearly the ratios of place 2 \(cosine/,
    );
    expect(ran.out).toMatch(/noise: 1\.50 ×/);
  });

  it.each([
    [[], /no place given/],
    [['--place', '9,9'], /Give X,Y=COLOUR/],
    [['--place', '9,9,0,4=red'], /Give X,Y=COLOUR/],
    [['--place', '9,9=0.9@20'], /place 1: a chroma is 0 to 0\.4, not 0\.9/],
    [['--place', '9,9=reddish'], /place 1: "reddish" is not a CSS colour/],
    [['--place', '480,9=red'], /place 1 leaves the picture, which has 480 × 320 pixels/],
    [['--place', '470,9,11,4=red'], /place 1 leaves the picture/],
    [
      ['1', '2', '3', '4'].flatMap((x) => ['--place', `${x}0,9=red`]),
      /there are 4 places, but the mix has only 3 lines/,
    ],
  ])('refuses %j', async (flags, message) => {
    const ran = await hold(...flags);
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.err).toMatch(message);
    expect(ran.err).not.toMatch(/\n +at /);
  });

  it('overwrites nothing unasked', () =>
    inFolder(async (folder) => {
      const file = join(folder, 'mine.json');
      writeFileSync(file, 'mine');
      expect((await hold('--place', '9,9=red', '-o', file)).code).toBe(1);
      expect(readFileSync(file, 'utf8')).toBe('mine');
      const bad = join(folder, 'none.json');
      expect((await hold('--place', '9,900=red', '-o', bad)).code).toBe(2);
      expect(existsSync(bad)).toBe(false);
    }));
});
