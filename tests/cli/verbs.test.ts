import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { channelsOf } from '../../lib/recipe/written/facts-of.ts';
import { layOutSheet } from '../../lib/render/sheet.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

const words = asWords(SMALL);

describe('linewash', () => {
  it.each([
    ['--help'],
    ['mix', '--help'],
    ['sheet', '--help'],
    ['measure', '--help'],
    ['samples', '--help'],
    ['recipe', 'settle', '--help'],
    ['recipe', 'hold', '--help'],
  ])('helps with %s %s', async (...line) => {
    const ran = await linewash(line);
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/Usage: linewash/);
  });

  it('shows examples one below the other', async () => {
    const { out } = await linewash(['mix', '--help']);
    const [, examples] = out.split('\nExamples:\n');
    expect(examples!.trimEnd().split('\n').length).toBeGreaterThan(1);
    for (const line of examples!.trimEnd().split('\n')) expect(line).toMatch(/^ {2}\$ linewash mix \S/);
  });

  it('says its version', async () => {
    const { version } = JSON.parse(readFileSync('package.json', 'utf8'));
    expect(await linewash(['--version'])).toMatchObject({ code: 0, out: `${version}\n` });
  });

  it('suggests the verb that was meant', async () => {
    const ran = await linewash(['mesure']);
    expect(ran.code).toBe(2);
    expect(ran.err).toMatch(/Did you mean measure/);
  });
});

describe('linewash measure', () => {
  it('prints a table', async () => {
    const ran = await linewash(['measure', ...words]);
    expect(ran.code).toBe(0);
    expect(
      ran.out
        .split('\n')
        .slice(0, 4)
        .map((line) => line.split(' ')[0]),
    ).toEqual(['line', 'S', 'H', 'O']);
    expect(ran.out).toMatch(/S II/);
    // How they lie on one another: what is nothing has no sign.
    expect(ran.out).toMatch(/^S +-?0\.0\d +-?0\.0\d .* of \d+$/m);
    expect(ran.out).not.toMatch(/-0\.0+(?!\d)/);
  });

  it('prints JSON with the value at a pixel', async () => {
    const ran = await linewash(['measure', ...words, '--json', '--at', '240,160']);
    const { channels } = JSON.parse(ran.out);
    expect(channels.map((c: { name: string }) => c.name)).toEqual(['S', 'H', 'O']);
    for (const c of channels) {
      expect(c.counted + channels[2].undefined).toBe(c.width * c.height);
      expect(c.value).toBeGreaterThan(c.min);
      expect(c.percentiles['99.9']).toBeGreaterThan(c.median);
    }
    expect(channels[2].undefined).toBeGreaterThan(1600);
  });

  it('refuses a pixel outside', async () => {
    expect(await linewash(['measure', ...words, '--at', '1200,0'])).toMatchObject({ code: 2, out: '' });
  });
});

describe('linewash sheet', () => {
  it('puts the recipes side by side', () =>
    inFolder(async (folder) => {
      const output = join(folder, 'sheet.png');
      const ran = await linewash(['sheet', 'sho', 'hoo', 'ember', ...words, '-o', output, '--size', '240', '--json']);
      expect(ran.code, ran.err).toBe(0);
      const { width, height } = JSON.parse(ran.out);
      const { info, data } = await sharp(output).raw().toBuffer({ resolveWithObject: true });
      expect([info.width, info.height]).toEqual([width, height]);
      // The ground is neutral, the pictures are not.
      expect([...data.subarray(0, 3)]).toEqual([34, 34, 34]);
      let coloured = 0;
      for (let i = 0; i < data.length; i += 3)
        if (Math.max(data[i]!, data[i + 1]!, data[i + 2]!) - Math.min(data[i]!, data[i + 1]!, data[i + 2]!) > 40)
          coloured++;
      expect(coloured).toBeGreaterThan(3 * 240 * 160 * 0.1);
    }));

  it('shows the pixels that a mix of the same size writes', () =>
    inFolder(async (folder) => {
      // Masters no larger than a cell are not shrunk: cell and mix must agree to the last bit.
      const [sheet, mix] = [join(folder, 'sheet.png'), join(folder, 'mix.png')];
      await linewash(['sheet', 'ember', ...words, '-o', sheet, '--size', '480']);
      await linewash(['mix', 'ember', ...words, '-o', mix, '--bits', '8']);
      const whole = await sharp(mix).raw().toBuffer({ resolveWithObject: true });
      const { gap } = layOutSheet(1, 480, 320);
      const cell = await sharp(sheet).extract({ left: gap, top: gap, width: 480, height: 320 }).raw().toBuffer();
      expect(cell.equals(whole.data)).toBe(true);
    }));
});

describe('linewash samples', () => {
  it('writes masters that a mix can use', () =>
    inFolder(async (folder) => {
      const demo = join(folder, 'demo');
      expect((await linewash(['samples', demo])).code).toBe(0);
      expect(readdirSync(demo).sort()).toEqual([
        'emberwing-H.fits',
        'emberwing-O-later.fits.gz',
        'emberwing-O.fits',
        'emberwing-S.fits',
      ]);
    }));

  it('can be given again, and replaces nothing else', () =>
    inFolder(async (folder) => {
      const first = await linewash(['samples', folder]);
      const path = join(folder, 'emberwing-S.fits');
      const before = statSync(path).mtimeMs;
      rmSync(join(folder, 'emberwing-H.fits'));
      expect(await linewash(['samples', folder])).toEqual(first);
      expect(statSync(path).mtimeMs).toBe(before);
      writeFileSync(path, 'mine');
      const refused = await linewash(['samples', folder]);
      expect([refused.code, refused.err]).toEqual([1, expect.stringMatching(/emberwing-S\.fits: exists already/)]);
      expect(readFileSync(path, 'utf8')).toBe('mine');
      expect((await linewash(['samples', folder, '--force'])).code).toBe(0);
      expect(statSync(path).size).toBeGreaterThan(1000);
    }));

  it('writes a part without stars, and its stars, where that is asked for', () =>
    inFolder(async (folder) => {
      expect((await linewash(['samples', folder, '--starless'])).code).toBe(0);
      const starless = ['H', 'O', 'S'].map((line) => `emberwing-starless-${line}.fits`);
      expect(readdirSync(folder).sort()).toEqual([...starless, 'emberwing-stars.tif']);
    }));
});

describe('linewash recipe', () => {
  it('settles on masters', async () => {
    const ran = await linewash(['recipe', 'settle', 'ember', ...words]);
    expect(ran.code).toBe(0);
    expect(JSON.parse(ran.out)).toMatchObject({
      matrix: [
        [0, 1, 0],
        [0.25, 0, 0.75],
        [0, 0, 1],
      ],
      mixIn: 'display',
      space: 'srgb',
    });
  });

  it('checks files', () =>
    inFolder(async (folder) => {
      const good = join(folder, 'good.json');
      writeFileSync(good, '{"matrix": [[1,0,0],[0,1,0],[0,0,1]]}');
      expect((await linewash(['recipe', 'check', good])).code).toBe(0);
      const bad = join(folder, 'bad.json');
      writeFileSync(bad, '{"matrix": [[1,0,0],[0,1,0]]}');
      const ran = await linewash(['recipe', 'check', bad]);
      expect(ran.code).toBe(2);
      expect(ran.err).toMatch(/\$\.matrix: the matrix has three rows/);
    }));
});

describe('linewash sheet without recipes', () => {
  it('shows every catalogue recipe that the masters can serve', () =>
    inFolder(async (folder) => {
      const { H, O } = SMALL;
      const output = join(folder, 'two-lines.png');
      const ran = await linewash([
        'sheet',
        ...asWords({ H, O }),
        '-o',
        output,
        '--size',
        '60',
        '--columns',
        '1',
        '--json',
      ]);
      expect(ran.code, ran.err).toBe(0);
      const served = CATALOGUE.filter(({ recipe }) => channelsOf(recipe).every((name) => name === 'H' || name === 'O'));
      const { height } = JSON.parse(ran.out);
      expect(served.length).toBeGreaterThan(1);
      expect(height).toBeGreaterThan(served.length * 40);
      expect(height).toBeLessThan((served.length + 1) * 90);
    }));

  it('says what to do where no recipe fits', async () => {
    const ran = await linewash(['sheet', 'Q=q.fits', '-o', 'x.png']);
    expect(ran.code).toBe(2);
    expect(ran.err).toMatch(/no catalogue recipe fits these masters/);
  });
});
