import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { inTurn } from '../cases.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

const words = asWords(SMALL);

describe('linewash suggest', () => {
  it('prints what each mix gives and costs, and why', { timeout: 60_000 }, async () => {
    const ran = await linewash(['suggest', ...words]);
    expect(ran.code).toBe(0);
    const [rows, reasons] = ran.out.split('\n\n');
    expect(rows!.split('\n')[0]).toMatch(/lines apart +colour spread +gain +noise +sky +stars +out of gamut/);
    expect(rows).toMatch(/^plain-order +0\.\d{3} +\d\.\d\d ×/m);
    expect(ran.out).toMatch(/\nnot offered:\n( {2}[A-Z].*: .*\n)+$/);
    const ids = rows!
      .split('\n')
      .slice(1)
      .map((row) => row.split(' ')[0]!);
    expect(ids.length).toBeGreaterThanOrEqual(2);
    for (const id of ids) expect(reasons).toContain(`${id}: `);
  });

  it.skipIf(!inTurn('that mix'))('writes recipes that mix, and a sheet', { timeout: 120_000 }, () =>
    inFolder(async (folder) => {
      const [recipes, sheet] = [join(folder, 'suggested'), join(folder, 'sheet.png')];
      const ran = await linewash(['suggest', ...words, '-o', recipes, '--sheet', sheet, '--json']);
      expect(ran.code).toBe(0);
      const { suggestions, files } = JSON.parse(ran.out);
      expect(readdirSync(recipes).sort()).toEqual(suggestions.map((s: { id: string }) => `${s.id}.json`).sort());
      expect(files).toHaveLength(suggestions.length);
      const { width, height } = await sharp(sheet).metadata();
      expect(width! * height!).toBeGreaterThan(suggestions.length * 480 * 320);
      const output = join(folder, 'mix.png');
      expect((await linewash(['mix', files[0], ...words, '-o', output])).code).toBe(0);
      expect(existsSync(output)).toBe(true);
    }),
  );

  it.skipIf(!inTurn('overwrites nothing'))('overwrites nothing unasked', { timeout: 60_000 }, () =>
    inFolder(async (folder) => {
      const file = join(folder, 'plain-order.json');
      writeFileSync(file, 'mine');
      const ran = await linewash(['suggest', ...words, '-o', folder]);
      expect(ran.code).toBe(1);
      expect(ran.err).toMatch(/exists already/);
      expect(readdirSync(folder)).toEqual(['plain-order.json']);
      expect(readFileSync(file, 'utf8')).toBe('mine');
      expect((await linewash(['suggest', ...words, '-o', folder, '--force'])).code).toBe(0);
      expect(JSON.parse(readFileSync(file, 'utf8')).name).toMatch(/^Plain /);
    }),
  );

  it('wants two lines', async () => {
    const ran = await linewash(['suggest', words[0]!]);
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.err).toMatch(/one line alone makes no colours/);
  });
});
