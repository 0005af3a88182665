import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { LINES, masterFile, sceneTruth } from '../../samples/scene/index.ts';
import { inTurn } from '../cases.ts';
import { asWords, inFolder, linewash, SAMPLES } from './capture.ts';

const size = { width: 400, height: 300 };

/** Masters whose O has a trail, as LINE=FILE. */
const mastersIn = async (folder: string): Promise<string[]> => {
  const trail = { from: [-0.1, 0.2], to: [1.1, 0.7], width: 3, depth: 0.06 } as const;
  const truth = sceneTruth({ ...size, target: 'palehoop', flaws: { O: { trail } } });
  return Promise.all(
    LINES.map(async (line) => {
      const file = join(folder, `${line}.fits`);
      writeFileSync(file, await masterFile(truth[line], 3));
      return `${line}=${file}`;
    }),
  );
};

it('says which master has what, where, and how sure it is; measure says the same', () =>
  inFolder(async (folder) => {
    const words = await mastersIn(folder);
    const plain = await linewash(['check', ...words, '--quiet']);
    expect(plain.code, plain.err).toBe(0);
    const rows = plain.out.split('\n').filter((row) => /^O +bright trail/.test(row));
    expect(rows.length).toBe(1);
    expect(rows[0]).toMatch(/px wide, [\d.]+ counts +from -?\d+,\d+ to \d+,\d+, [\d.]+° +sure \(score \d/);
    const json = JSON.parse((await linewash(['check', ...words, '--json'])).out);
    expect(Object.keys(json)).toEqual(['masters', 'defects', 'warnings']);
    expect(json.masters.map(({ name, width }: { name: string; width: number }) => [name, width])).toEqual(
      LINES.map((line) => [line, 400]),
    );
    const measured = JSON.parse((await linewash(['measure', ...words, '--defects', '--json'])).out);
    expect(measured.defects).toEqual(json.defects);
    expect(json.defects.some(({ kind }: { kind: string }) => kind === 'trail')).toBe(true);
    expect(JSON.parse((await linewash(['measure', ...words, '--json'])).out).defects).toBeUndefined();
  }));

it.skipIf(!inTurn('not fit'))('names what does not fit, and looks at masters of different sizes all the same', () =>
  inFolder(async (folder) => {
    const [s, h, o] = (await mastersIn(folder)) as [string, string, string];
    const other = join(folder, 'other.fits');
    const truth = sceneTruth({ ...size, width: 380, target: 'palehoop' });
    writeFileSync(other, await masterFile(truth.H, 3));
    const swapped = [`S=${h.slice(2)}`, `H=${s.slice(2)}`, o];
    const ran = await linewash(['check', ...swapped]);
    expect(ran.code).toBe(0);
    expect(ran.err).toMatch(/S and H look swapped/);
    const sizes = await linewash(['check', s, `H=${other}`, o]);
    expect(sizes.code, sizes.err).toBe(0);
    expect(sizes.err).toMatch(/380 × 300 pixels, but/);
    expect(sizes.out).toMatch(/^O +bright trail/m);
    const missing = await linewash(['check', `S=${join(folder, 'none.fits')}`]);
    expect(missing.code).toBe(2);
    expect(missing.err).toMatch(/cannot be opened/);
  }),
);

it.skipIf(!inTurn('no filament'))('takes no filament of the sample masters for a trail', async () => {
  const { code, out } = await linewash(['check', ...asWords(SAMPLES), '--quiet']);
  expect([code, out]).toEqual([0, 'No trail, column, row, seam or lone spot was found.\n']);
});
