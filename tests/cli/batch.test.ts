import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { shellWord } from '../../lib/cli/batch-jobs.ts';
import { plan, readJson, writeTargets } from '../node/batch/scene.ts';
import { inFolder, linewash } from './capture.ts';

const two = ['Arc', "Rim's -$(x)"];

/** A folder with masters and a plan; gives the plan's path. */
const withPlan = (use: (folder: string, file: string) => Promise<void>, more = {}) =>
  inFolder(async (folder) => {
    await writeTargets(join(folder, 'masters'), two);
    const file = join(folder, 'plan.json');
    writeFileSync(file, JSON.stringify(plan({ recipes: ['sho', 'hoo'], ...more })));
    await use(folder, file);
  });

const lines = (text: string) => text.split('\n').filter(Boolean);

describe('linewash batch', () => {
  it('makes pictures, says what became of each, and sums up', () =>
    withPlan(async (folder, file) => {
      const ran = await linewash(['batch', file]);
      expect(ran.code).toBe(0);
      expect(ran.out).toMatch(/^4 made, 0 up to date, 0 failed in \d+ s\n$/);
      expect(lines(ran.err)[0]).toMatch(/^1\/4 made: .*Arc sho\.tif \(new\)$/);
      expect(lines(ran.err)[2]).toMatch(/^3\/4 made: .*; \d+ s left$/);
      expect(readdirSync(join(folder, 'out')).length).toBe(4);
      const again = await linewash(['batch', file, '--quiet']);
      expect(again).toMatchObject({ code: 0, err: '' });
      expect(again.out).toMatch(/^0 made, 4 up to date/);
    }));

  it('goes on after a failure, reports it with its reason, and ends with 1', () =>
    withPlan(async (folder, file) => {
      writeFileSync(join(folder, 'masters/Arc-O.fits'), 'torn');
      const report = join(folder, 'report.jsonl');
      const ran = await linewash(['batch', file, '--quiet', '--report', report]);
      expect(ran.code).toBe(1);
      expect(ran.out).toMatch(/^2 made, 0 up to date, 2 failed/);
      expect(ran.out).toMatch(/failed: Arc by sho → .*Arc sho\.tif: .*Arc-O\.fits: /);
      expect(ran.err).toMatch(/2 pictures could not be made/);
      const entries = lines(readFileSync(report, 'utf8')).map((line) => JSON.parse(line));
      expect(entries.map(({ status }) => status)).toEqual(['failed', 'failed', 'made', 'made', undefined]);
      expect(entries[0].why).toMatch(/Arc-O\.fits/);
      expect(entries[4]).toMatchObject({ made: 2, kept: 0, failed: 2, left: 0 });
    }));

  it('prints JSON lines as pictures are done', () =>
    withPlan(async (_, file) => {
      const { out } = await linewash(['batch', file, '--json', '--quiet']);
      const entries = lines(out).map((line) => JSON.parse(line));
      expect(entries.length).toBe(5);
      expect(entries[0]).toMatchObject({ target: 'Arc', recipe: 'sho', status: 'made', why: 'new' });
      expect(entries[4]).toMatchObject({ made: 4, failed: 0 });
    }));

  it('lists what it would do and why, and does nothing', () =>
    withPlan(async (folder, file) => {
      const first = await linewash(['batch', file, '--dry-run']);
      expect(first.code).toBe(0);
      expect(lines(first.out)[0]).toMatch(/^make {3}.*Arc sho\.tif \(new\)$/);
      expect(lines(first.out)[4]).toBe('4 to make, 0 up to date, 0 impossible');
      expect(existsSync(join(folder, 'out'))).toBe(false);

      await linewash(['batch', file, '--quiet']);
      await writeTargets(join(folder, 'masters'), ['Arc'], 9);
      const second = await linewash(['batch', file, '--dry-run', '--json']);
      expect(lines(second.out).map((line) => JSON.parse(line).why)).toEqual([
        'S changed',
        'H changed',
        'up to date',
        'up to date',
      ]);
      expect((await linewash(['batch', file, '--dry-run', '--force'])).out).toMatch(/4 to make, 0 up to date/);

      writeFileSync(join(folder, 'masters/Arc-O.fits'), '');
      writeFileSync(join(folder, "masters/Rim's -$(x)-H.fits"), '');
      writeFileSync(file, JSON.stringify(plan({ targets: [{ name: 'No', masters: { H: 'none.fits' } }] })));
      const bad = await linewash(['batch', file, '--dry-run']);
      expect(bad.code).toBe(1);
      expect(bad.out).toMatch(/CANNOT .*No sho\.tif \(no master for/);
    }));

  it('does one part of the jobs, and all parts together are the whole', () =>
    withPlan(async (folder, file) => {
      for (const part of ['1/3', '2/3', '3/3']) expect((await linewash(['batch', file, '--shard', part])).code).toBe(0);
      expect(readdirSync(join(folder, 'out')).length).toBe(4);
      expect((await linewash(['batch', file, '--shard', '4/3'])).code).toBe(2);
      expect((await linewash(['batch', file, '--shard', '0/3'])).code).toBe(2);
      const many = await linewash(['batch', file, '--shard', '9/9', '--quiet']);
      expect(many.code).toBe(0);
    }));

  it('stops with 130 when interrupted', () =>
    withPlan(async (folder, file) => {
      const stop = new AbortController();
      const running = linewash(['batch', file], stop.signal);
      stop.abort();
      const ran = await running;
      expect(ran.code).toBe(130);
      expect(readdirSync(folder).includes('out') && readdirSync(join(folder, 'out')).length > 0).toBe(false);
    }));

  it('places faults of a plan by path, line and column', () =>
    withPlan(async (folder) => {
      const file = join(folder, 'bad.json');
      writeFileSync(
        file,
        '{\n  "targets": [{"pattern": "{target}.fits"}],\n  "recipe": ["sho"],\n  "outputs": ["a.jpg"]\n}',
      );
      const ran = await linewash(['batch', file]);
      expect(ran).toMatchObject({ code: 2, out: '' });
      expect(ran.err).toMatch(/line 3, column \d+, \$\.recipe: unknown key \(did you mean recipes\?\)/);
      expect((await linewash(['batch', join(folder, 'none.json')])).code).toBe(2);
    }));
});

describe('linewash batch --jobs', () => {
  it('prints lines that a shell runs as they stand, from anywhere', () =>
    withPlan(async (folder, file) => {
      const { out, code } = await linewash(['batch', file, '--jobs', '--command', 'printf "%s\\n"']);
      expect(code).toBe(0);
      expect(lines(out).length).toBe(4);
      for (const line of lines(out)) {
        // The shell hands the words over unharmed, and linewash takes them.
        const { stdout } = spawnSync('sh', ['-c', line], { encoding: 'utf8', cwd: '/' });
        expect(line).toMatch(/^[\x20-\x7e]+$/);
        const words = lines(stdout);
        expect(words[0]).toBe('batch');
        expect((await linewash(words)).code).toBe(0);
      }
      expect(readdirSync(join(folder, 'out')).length).toBe(4);
      expect((await linewash(['batch', file, '--quiet'])).out).toMatch(/^0 made, 4 up to date/);
    }));

  it('leaves out what cannot be done, and says so', () =>
    withPlan(async (folder, file) => {
      writeFileSync(file, JSON.stringify(plan({ targets: [{ name: 'No', masters: { H: 'none.fits' } }] })));
      const { out, err, code } = await linewash(['batch', file, '--jobs']);
      expect([out, code]).toEqual(['', 1]);
      expect(err).toMatch(/No by sho: no master for/);
      expect(readdirSync(folder)).not.toContain('out');
    }));

  it.each(['', ' ', "it's", '"', '$(x)', '`x`', '*?[', '\\', '-n', '!', '~', 'a\tb', 'λ'])('quotes %j', (text) => {
    const { stdout } = spawnSync('sh', ['-c', `printf %s ${shellWord(text)}`], { encoding: 'utf8' });
    expect(stdout).toBe(text);
  });
});

describe('linewash batch init', () => {
  it('writes a plan that runs, from headers and names', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'stacks/a'), ['Arc']);
      writeFileSync(join(folder, 'stacks/notes.tif'), 'no picture');
      const file = join(folder, 'plan.json');
      const ran = await linewash(['batch', 'init', join(folder, 'stacks'), '-o', file]);
      expect(ran.code).toBe(0);
      expect(ran.out).toMatch(/^Emberwing: H, O, S \(target by header\)\n/);
      expect(ran.err).toMatch(/notes\.tif: not a readable master; left out/);
      const written = readJson(file);
      expect(written.targets).toEqual([
        {
          name: 'Emberwing',
          masters: { H: 'stacks/a/Arc-H.fits', O: 'stacks/a/Arc-O.fits', S: 'stacks/a/Arc-S.fits' },
        },
      ]);
      expect(written.recipes).toEqual(['sho', 'hoo', 'ember']);
      expect((await linewash(['batch', file, '--quiet'])).out).toMatch(/^6 made/);
      expect(existsSync(join(folder, 'pictures/sheet.png'))).toBe(true);
      expect((await linewash(['batch', 'init', join(folder, 'stacks'), '-o', file])).code).toBe(1);
      expect((await linewash(['batch', 'init', join(folder, 'stacks'), '-o', file, '--force'])).code).toBe(0);
    }));

  it('says where there is nothing', () =>
    inFolder(async (folder) => {
      expect((await linewash(['batch', 'init', folder])).err).toMatch(/contains no masters/);
      expect((await linewash(['batch', 'init', join(folder, 'none')])).code).toBe(2);
    }));
});
