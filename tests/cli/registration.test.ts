import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type Line, type Misfit, masterFile, sceneTruth } from '../../samples/scene/index.ts';
import { inTurn } from '../cases.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

/** Writes the scene with planted misfits and returns LINE=FILE words. */
const writeScene = async (folder: string, misfit: Partial<Record<Line, Misfit>>): Promise<string[]> => {
  const truth = sceneTruth({ width: 480, height: 320, misfit });
  const words: string[] = [];
  for (const line of ['S', 'H', 'O'] as const) {
    const file = join(folder, `${line}.fits`);
    writeFileSync(file, await masterFile(truth[line], 1));
    words.push(`${line}=${file}`);
  }
  return words;
};

describe('linewash measure', () => {
  it('puts the registration of the samples under its key', async () => {
    const ran = await linewash(['measure', ...asWords(SMALL), '--json']);
    const { registration, warnings } = JSON.parse(ran.out);
    expect(registration.map((r: { channel: string }) => r.channel)).toEqual(['S', 'O']);
    for (const r of registration) {
      expect(r).toMatchObject({ reference: 'H', status: 'found' });
      expect(Math.hypot(r.dx, r.dy)).toBeLessThan(0.1);
      expect(r.tiles.length).toBeGreaterThanOrEqual(16);
    }
    expect(warnings).toEqual([]);
  });

  it.skipIf(!inTurn('a shift'))('says in words what a shift and a turn are', () =>
    inFolder(async (folder) => {
      const words = await writeScene(folder, { S: { angle: 2.5 }, O: { dx: 3.25, dy: -1.5 } });
      const ran = await linewash(['measure', ...words]);
      expect(ran.code).toBe(0);
      expect(ran.err).toMatch(
        /S is turned 2\.[45]\d° clockwise against H \(up to 1\d\.\d px in the corners\)\. Register/,
      );
      expect(ran.err).toMatch(/O lies 3\.[23] px right and 1\.5 px up of H\. Register the masters again\.\n/);
      // The same in numbers: right, down, clockwise; what is upward has a sign.
      const [titles, s, o] = ran.out
        .split('\n\n')[1]!
        .split('\n')
        .map((line) => line.split(/ {2,}/));
      expect(titles).toEqual(['line', 'right of H', 'down', 'turned', 'larger', '± px', 'tiles']);
      expect(Number(s![3]!.replace('°', ''))).toBeCloseTo(2.5, 1);
      expect(o!.slice(1, 3).map((text) => Number(text).toFixed(1))).toEqual([
        expect.stringMatching(/^3\.[23]$/),
        '-1.5',
      ]);
      expect(o![3]).toMatch(/^-?0\.0\d\d°$/);
      expect(o![4]).toMatch(/^-?0\.0\d\d %$/);
      expect(Number(o![5])).toBeLessThan(0.2);
      expect(o![6]).toMatch(/^\d+ of \d+$/);
    }),
  );

  it.skipIf(!inTurn('different sizes'))(
    'measures masters of different sizes, and says that they differ and by what',
    () =>
      inFolder(async (folder) => {
        const words = await writeScene(folder, { O: { crop: { left: 1 } } });
        const ran = await linewash(['measure', ...words, '--json']);
        expect(ran.code).toBe(0);
        const { channels, registration, warnings } = JSON.parse(ran.out);
        expect(channels.map((c: { width: number }) => c.width)).toEqual([480, 480, 479]);
        const { dx, dy } = registration[1];
        expect(Math.hypot(dx + 1, dy)).toBeLessThan(0.1);
        expect(warnings).toContainEqual(expect.stringMatching(/479 × 320 pixels, but .* has 480 × 320/));
        expect(warnings).toContainEqual(expect.stringMatching(/O lies 1\.0 px left of H\. .*whole pixels: 1 px right/));
      }),
  );

  it.skipIf(!inTurn('and doubled'))('finds swapped and doubled files', async () => {
    const { S, H, O } = SMALL;
    const swapped = await linewash(['measure', `S=${H}`, `H=${S}`, `O=${O}`]);
    expect(swapped.err).toMatch(/given as S, but its header says the filter is "H-alpha"; S and H look swapped/);
    const doubled = await linewash(['measure', `H=${H}`, `O=${H}`]);
    expect(doubled.err).toMatch(/O holds the same picture as H/);
  });
});
