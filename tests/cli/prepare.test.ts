import { copyFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { masterFile, sceneTruth } from '../../samples/scene/index.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

const words = asWords(SMALL);
const [WIDTH, HEIGHT] = [480, 320];

describe('linewash mix --crop', () => {
  it('cuts to what all lines cover: no black wedge, no coloured frame', () =>
    inFolder(async (folder) => {
      const output = join(folder, 'x.png');
      const ran = await linewash(['mix', 'sho', ...words, '-o', output, '--crop', '--alpha', '--json']);
      expect(ran.code, ran.err).toBe(0);
      const { settled, width, height } = JSON.parse(ran.out);
      expect(settled.crop).toMatchObject({ width, height });
      const { truth } = { truth: sceneTruth({ width: WIDTH, height: HEIGHT }).O };
      const { x, y } = settled.crop;
      for (let r = 0; r < height; r++)
        for (let c = 0; c < width; c++)
          if (!truth.covered[(y + r) * WIDTH + x + c]) throw new Error(`hole at ${c},${r}`);
      // No larger rectangle: one more row or column on any side meets the wedge or the frame.
      const covered = (left: number, top: number, w: number, h: number) => {
        if (left < 0 || top < 0 || left + w > WIDTH || top + h > HEIGHT) return false;
        for (let r = top; r < top + h; r++)
          for (let c = left; c < left + w; c++) if (!truth.covered[r * WIDTH + c]) return false;
        return true;
      };
      expect([covered(x - 1, y, width + 1, height), covered(x, y - 1, width, height + 1)]).toEqual([false, false]);
      expect([covered(x, y, width + 1, height), covered(x, y, width, height + 1)]).toEqual([false, false]);
      const { channels } = await sharp(output).stats();
      expect(channels[3]!.min).toBe(65535);
    }));

  it('changes no pixel of what is left', () =>
    inFolder(async (folder) => {
      const [whole, part] = [join(folder, 'a.png'), join(folder, 'b.png')];
      await linewash(['mix', 'sho', ...words, '-o', whole, '--bits', '8']);
      const ran = await linewash(['mix', 'sho', ...words, '-o', part, '--bits', '8', '--crop', '--json']);
      const { x, y, width, height } = JSON.parse(ran.out).settled.crop;
      const wanted = await sharp(whole).extract({ left: x, top: y, width, height }).raw().toBuffer();
      expect((await sharp(part).raw().toBuffer()).equals(wanted)).toBe(true);
    }));

  it('leaves a picture without missing data as it is', () =>
    inFolder(async (folder) => {
      const ran = await linewash([
        'mix',
        'hoo',
        `H=${SMALL.H}`,
        `O=${SMALL.S}`,
        '-o',
        join(folder, 'x.png'),
        '--crop',
        '--json',
      ]);
      expect(JSON.parse(ran.out)).toMatchObject({ width: WIDTH, height: HEIGHT });
      expect(JSON.parse(ran.out).settled.crop).toBeUndefined();
    }));
});

describe('several masters of one line', () => {
  const nights = sceneTruth({ width: 300, height: 200, coverage: false, hours: { S: 2, H: 2, O: 2 } });
  const drawn = Promise.all([masterFile(nights.H, 1), masterFile(nights.O, 1), masterFile(nights.O, 2)]);
  const write = async (folder: string) => {
    for (const [i, name] of ['h.fits', 'o,1.fits', 'o2.fits'].entries())
      writeFileSync(join(folder, name), (await drawn)[i]!);
    return { H: join(folder, 'h.fits'), a: join(folder, 'o,1.fits'), b: join(folder, 'o2.fits') };
  };
  const mixed = (folder: string, O: string, H: string, ...more: string[]) =>
    linewash(['mix', 'hoo', `H=${H}`, `O=${O}`, '-o', join(folder, 'x.tif'), '--json', ...more]);

  it('are combined, with the gain said and the numbers settled', () =>
    inFolder(async (folder) => {
      const { H, a, b } = await write(folder);
      const ran = await mixed(folder, `${a},${b}`, H);
      expect(ran.code, ran.err).toBe(0);
      expect(ran.err).toMatch(/O: 2 masters combined \(\d\d % \+ \d\d %\): 1\.(3[5-9]|4\d?) × less noise/);
      const { combined } = JSON.parse(ran.out).settled.channels[1];
      expect(combined).toHaveLength(2);
      expect(combined[0]).toMatchObject({ file: 'o,1.fits', scale: 1, offset: 0 });
      expect(Math.abs(combined[1].scale - 1)).toBeLessThan(0.02);
      const carried = await linewash(['recipe', 'show', join(folder, 'x.tif')]);
      expect(carried.code).toBe(0);
    }));

  it('lose a trail, which is told in words and as JSON, and are refused twice', () =>
    inFolder(async (folder) => {
      const { H, a } = await write(folder);
      const night = nights.O;
      const trail = (i: number) => 3000 * Math.exp(-(((i % 300) - Math.floor(i / 300) - 60) ** 2) / 4);
      const crossed = join(folder, 'crossed.fits');
      writeFileSync(crossed, await masterFile({ ...night, mean: night.mean.map((v, i) => v + trail(i)) }, 7));
      const ran = await mixed(folder, `${a},${crossed}`, H);
      expect(ran.code, ran.err).toBe(0);
      expect(ran.err).toMatch(/crossed\.fits: \d+ pixels \(\d[\d.]* %\) hold what the other masters do not show/);
      const [first, second] = JSON.parse(ran.out).settled.channels[1].combined;
      expect(first.outliers?.share ?? 0).toBeLessThan(0.001);
      expect(second.outliers.share).toBeGreaterThan(0.01);
      expect(second.outliers.largest[0]).toMatchObject({ y: 0, height: 200 });
      const measured = await linewash(['measure', `O=${a},${crossed}`, '--json', '--quiet']);
      const [line] = JSON.parse(measured.out).combined;
      expect(line).toMatchObject({ line: 'O', parts: [{ file: 'o,1.fits' }, { outliers: second.outliers }] });
      const twin = join(folder, 'twin.fits');
      copyFileSync(a, twin);
      for (const words of [
        ['measure'],
        ['hours', 'hoo', `H=${H}`],
        ['sheet', 'hoo', `H=${H}`, '-o', join(folder, 's.png')],
      ]) {
        const refused = await linewash([...words, `O=${a},${twin}`, '--quiet']);
        expect([refused.code, refused.err]).toEqual([
          2,
          expect.stringMatching(/twin\.fits and .*o,1\.fits hold the same picture twice/),
        ]);
      }
    }));

  it('are one where the comma belongs to a name', () =>
    inFolder(async (folder) => {
      const { H, a } = await write(folder);
      const ran = await mixed(folder, a, H);
      expect(ran.code, ran.err).toBe(0);
      expect(JSON.parse(ran.out).settled.channels[1].combined).toBeUndefined();
    }));

  it('are refused where one is missing, repeated, or of another field', () =>
    inFolder(async (folder) => {
      const { H, a, b } = await write(folder);
      expect((await mixed(folder, `${b},${folder}/no.fits`, H)).err).toMatch(/no\.fits: cannot be opened/);
      expect((await mixed(folder, `${b},${b}`, H)).err).toMatch(/o2\.fits: is given twice for one line/);
      const other = await mixed(folder, `${b},${H}`, H);
      expect([other.code, other.err]).toEqual([2, expect.stringMatching(/"H-alpha".*"O III".*cannot be combined/)]);
      const same = join(folder, 'copy.fits');
      copyFileSync(a, same);
      expect((await mixed(folder, `${same},${SMALL.O}`, H)).err).toMatch(/480 × 320 .* 300 × 200/);
    }));
});
