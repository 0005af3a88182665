import { unlinkSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { tallyFiles } from '../../lib/node/tally-files.ts';
import { inFolder } from '../cli/capture.ts';
import { drawSeason, writeSeason } from './season.ts';

it('sums a season of real-world headers exactly', () =>
  inFolder(async (folder) => {
    const season = drawSeason(1, 480);
    const { truth } = season;
    // The generator shows every habit: else a test of this would test nothing.
    expect(truth.skipped.length).toBeGreaterThan(30);
    expect(Math.min(...Object.values(truth.noon), truth.left.calibration, truth.left.masters)).toBeGreaterThan(2);
    writeSeason(season, folder);
    const shares: number[] = [];
    const found = await tallyFiles({ folders: [folder], progress: (done) => shares.push(done) });
    expect(found.targets.map(({ target }) => target)).toEqual(truth.targets.map(({ target }) => target).sort());
    for (const { target, lines } of truth.targets) {
      const own = found.targets.find((one) => one.target === target)!;
      expect(own.lines.map(({ hours: _, ...rest }) => rest)).toEqual(
        [...lines].sort((a, b) => (a.line < b.line ? -1 : 1)).map(({ hours: _, ...rest }) => rest),
      );
      for (const line of lines)
        expect(own.lines.find((one) => one.line === line.line)!.hours).toBeCloseTo(line.hours, 9);
    }
    expect(found.left).toEqual(truth.left);
    expect(found.noon).toEqual(truth.noon);
    const byFile = (a: { file: string }, b: { file: string }) => (a.file < b.file ? -1 : 1);
    const shown = (files: readonly { file: string }[]) =>
      files.map((one) => ({ ...one, file: join(folder, one.file) }));
    expect(found.unnamed).toEqual(shown(truth.unnamed).sort(byFile));
    expect(found.skipped.map(({ file }) => file)).toEqual(
      shown(truth.skipped)
        .sort(byFile)
        .map(({ file }) => file),
    );
    for (const { file, word } of truth.skipped)
      expect(found.skipped.find((one) => one.file === join(folder, file))!.reason).toContain(word);
    expect(shares.length).toBe(480);
    expect(shares.at(-1)).toBe(1);
    // Night by night is the same in parts.
    const subs = (some: readonly { subs: number }[]) => some.reduce((sum, one) => sum + one.subs, 0);
    expect(subs(found.nights)).toBe(subs(found.targets.flatMap(({ lines }) => lines)));
  }));

it('counts a folder once that is named twice, also within another', () =>
  inFolder(async (folder) => {
    const { files } = drawSeason(2, 30);
    writeSeason({ files, links: new Map([['circle', folder]]) }, folder);
    const first = [...files.keys()][0]!.split('/')[0]!;
    const once = await tallyFiles({ folders: [folder] });
    const twice = await tallyFiles({
      folders: [folder, join(folder, first), `${folder}/../${folder.split('/').at(-1)}`],
    });
    expect(twice.targets).toEqual(once.targets);
    expect(twice.skipped).toEqual(once.skipped);
    expect(once.skipped.map(({ file }) => file)).toContain(join(folder, 'circle'));
  }));

it('names a file that is gone before it is read, and counts the others', () =>
  inFolder(async (folder) => {
    const sub = [...drawSeason(3, 60).files].find(([name]) => /frame_\d+\.fits$/.test(name))![1];
    const names = Array.from({ length: 20 }, (_, i) => `frame_${10 + i}.fits`);
    writeSeason({ files: new Map(names.map((name) => [name, sub])), links: new Map() }, folder);
    const last = join(folder, 'frame_29.fits');
    let gone = false;
    const found = await tallyFiles({
      folders: [folder],
      progress: () => {
        if (!gone) unlinkSync(last);
        gone = true;
      },
    });
    expect(found.skipped).toEqual([{ file: last, reason: expect.stringMatching(/no such file/) }]);
    expect(found.targets.flatMap(({ lines }) => lines.map(({ subs }) => subs))).toEqual([19]);
  }));

it('stops when it is cancelled', () =>
  inFolder(async (folder) => {
    writeSeason({ ...drawSeason(4, 40), links: new Map() }, folder);
    const stop = new AbortController();
    const counting = tallyFiles({ folders: [folder], signal: stop.signal, progress: () => stop.abort() });
    await expect(counting).rejects.toMatchObject({ tag: 'cancelled' });
  }));
