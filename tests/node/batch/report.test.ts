import { copyFileSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { batchFiles, planBatch } from '../../../lib/node/batch/batch-files.ts';
import { decideAll } from '../../../lib/node/batch/decide.ts';
import type { BatchPicture } from '../../../lib/node/batch/jobs.ts';
import { failedReport } from '../../../lib/node/batch/picture-report.ts';
import { writeReport } from '../../../lib/node/batch/report.ts';
import { checkFiles } from '../../../lib/node/check-files.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { linewash } from '../../cli/capture.ts';
import { inFolder, plan, writeTargets } from './scene.ts';

describe('the report of a picture that could not be made', () => {
  const picture = { target: 'Rim', recipe: 'sho', output: '/out/a.tif' } as BatchPicture;
  const failed = (cause: unknown) => failedReport(picture, cause, 2);
  const system = (code: string, path?: string) => Object.assign(new Error(`${code}: of the system`), { code, path });

  it('says of what, for how long, why and what to do', () =>
    expect(
      failed(new LinewashError({ tag: 'format', file: 'h.fits', message: 'is torn', advice: 'copy it again' })),
    ).toEqual({
      target: 'Rim',
      recipe: 'sho',
      output: '/out/a.tif',
      status: 'failed',
      why: 'h.fits: is torn',
      advice: 'copy it again',
      seconds: 2,
      warnings: [],
    }));

  it('names no file twice, and gives no advice where there is none', () => {
    const own = failed(new LinewashError({ tag: 'output', file: '/out/a.tif', message: 'exists already' }));
    expect(own.why).toBe('exists already');
    expect(own).not.toHaveProperty('advice');
    expect(failed(new LinewashError({ tag: 'input', message: 'no master for S' })).why).toBe('no master for S');
  });

  it('is that it was left, where the batch was interrupted', () =>
    expect(failed(new LinewashError({ tag: 'cancelled', message: 'cancelled' }))).toMatchObject({
      status: 'left',
      why: 'interrupted',
      seconds: 2,
    }));

  it('tells errors of the system, with their path, from defects of linewash', () => {
    expect(failed(system('ENOSPC', '/out')).why).toMatch(/^\/out: /);
    expect(failed(system('EIO')).why).not.toMatch(/defect|undefined/);
    expect(failed(system('ERR_INVALID_ARG_TYPE')).why).toMatch(/^a bug in linewash: /);
    for (const cause of [new TypeError('x'), 'thrown', undefined, null])
      expect(failed(cause)).toMatchObject({ status: 'failed', why: expect.stringMatching(/^a bug in linewash: /) });
  });
});

describe('the report of a batch', () => {
  it('has a line a picture in the order of the jobs, then the counts, and replaces an earlier one', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Arc']);
      const began = performance.now();
      const result = await batchFiles({ plan: plan({ recipes: ['hoo', 'sho'], sheet: { size: 60 } }), folder });
      const passed = (performance.now() - began) / 1000;
      const file = join(folder, 'report.jsonl');
      writeFileSync(file, 'old');
      await writeReport(file, result);
      const text = readFileSync(file, 'utf8');
      expect(text.endsWith('\n')).toBe(true);
      const lines = text
        .trimEnd()
        .split('\n')
        .map((line) => JSON.parse(line));
      expect(lines.map(({ recipe, status }) => [recipe, status])).toEqual([
        ['hoo', 'made'],
        ['sho', 'made'],
        [undefined, undefined],
      ]);
      expect(lines[2]).toMatchObject({ made: 2, kept: 0, failed: 0, left: 0, sheet: { status: 'made' } });
      expect(lines[2]).not.toHaveProperty('pictures');
      // Seconds are those of the clock, the whole as long as its parts.
      const parts = lines[0].seconds + lines[1].seconds;
      expect(lines[0].seconds).toBeGreaterThan(0);
      expect(lines[2].seconds).toBeGreaterThanOrEqual(parts - 0.002);
      expect(lines[2].seconds).toBeLessThanOrEqual(passed + 0.001);
      writeFileSync(join(folder, 'no'), 'a file where a folder would have to be');
      await expect(writeReport(join(folder, 'no/report.jsonl'), result)).rejects.toThrow(
        /cannot be made: a file has its name/,
      );
    }));

  it('lists defects of the masters of what is made, where that is asked for', () =>
    inFolder(async (folder) => {
      await linewash(['samples', folder, '--target', 'palehoop', '--size', '400', '--quiet']);
      const masters = { H: 'palehoop-H.fits', O: 'palehoop-O.fits' };
      const outputs = ['{target} {recipe}.tif', '{target} {recipe}.png'];
      const work = plan({ targets: [{ name: 'Pale', masters }], recipes: ['hoo'], outputs });
      const { pictures } = await batchFiles({ plan: work, folder, defects: true });
      const inputs = { H: join(folder, masters.H), O: join(folder, masters.O) };
      const { defects } = await checkFiles({ inputs });
      expect(pictures.map((of) => of.defects)).toEqual([defects, defects]);
      expect(pictures[0]!.warnings.join()).toMatch(
        /O has a defect: bright trail.*O has a defect: 1 bright spot in this line alone/,
      );
      rmSync(join(folder, 'out/Pale hoo.png'));
      const again = await batchFiles({ plan: work, folder });
      expect(again.pictures.map(({ status, defects: of }) => [status, of])).toEqual([
        ['kept', undefined],
        ['made', undefined],
      ]);
    }));
});

describe('what would be done', () => {
  const target = (masters: Record<string, string | string[]>) => ({ targets: [{ name: 'Arc', masters }] });
  const decided = async (folder: string, more: object, force = false) =>
    (await decideAll(await planBatch({ plan: plan({ recipes: ['hoo'], ...more }), folder }), force)).map(
      ({ action, why }) => [action, why],
    );

  it('is why a picture is made again: masters that came or went, or were changed', () =>
    inFolder(async (folder) => {
      await writeTargets(folder, ['Arc', 'Rim']);
      const [H, O, more] = ['Arc-H.fits', 'Arc-O.fits', 'Rim-O.fits'];
      await batchFiles({ plan: plan({ recipes: ['hoo'], ...target({ H, O }) }), folder });
      expect(await decided(folder, target({ H, O }))).toEqual([['keep', 'up to date']]);
      expect(await decided(folder, target({ H, O }), true)).toEqual([['make', 'asked for']]);
      expect(await decided(folder, target({ H, O: [O, more] }))).toEqual([['make', 'other masters']]);
      expect(await decided(folder, target({ H, O: more }))).toEqual([['make', 'O changed']]);
      // A copy under another name is the same master.
      copyFileSync(join(folder, O), join(folder, 'copy.fits'));
      expect(await decided(folder, target({ H, O: 'copy.fits' }))).toEqual([['keep', 'up to date']]);
    }));

  it('is nothing where a master is missing or is none, and says so', () =>
    inFolder(async (folder) => {
      await writeTargets(folder, ['Arc']);
      expect(await decided(folder, target({ H: 'Arc-H.fits', O: 'none.fits' }))).toEqual([
        ['refuse', expect.stringMatching(/none\.fits: .*no such file/)],
      ]);
      expect(await decided(folder, target({ H: 'Arc-H.fits' }))).toEqual([
        ['refuse', expect.stringMatching(/^no master for O/)],
      ]);
      mkdirSync(join(folder, 'out'));
      writeFileSync(join(folder, 'out/Arc hoo.tif'), 'mine');
      const whole = target({ H: 'Arc-H.fits', O: 'Arc-O.fits' });
      expect(await decided(folder, whole)).toEqual([['refuse', expect.stringMatching(/linewash did not make it/)]]);
      expect(await decided(folder, whole, true)).toEqual([['make', 'asked for']]);
    }));

  it('is not looked into further once the work is stopped', () =>
    inFolder(async (folder) => {
      await writeTargets(folder, ['Arc']);
      const work = await planBatch({
        plan: plan({ recipes: ['hoo'], ...target({ H: 'Arc-H.fits', O: 'Arc-O.fits' }) }),
        folder,
      });
      await expect(decideAll(work, false, AbortSignal.abort())).rejects.toThrow(/cancelled/);
    }));
});
