import { type SpawnSyncReturns, spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, readFileSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { inFolder, writeTargets } from '../node/batch/scene.ts';

const command = resolve('dist/lib/cli/main.js');
const has = (program: string) => existsSync(command) && spawnSync(program, ['--version']).error === undefined;

/** The blocks of code in the page, by their language. */
const blocks = (language: string): string[] =>
  [...readFileSync('docs/workflows.md', 'utf8').matchAll(/```(\w+)\n([\s\S]*?)```/g)]
    .filter(([, name]) => name === language)
    .map(([, , code]) => code!);

const ok = (ran: SpawnSyncReturns<string>) => {
  expect(ran.status, ran.stdout + ran.stderr).toBe(0);
  return ran.stdout + ran.stderr;
};

/** A folder with a plan over names that are hard to write, and the lines of its jobs. */
const withJobs = (names: readonly string[], use: (folder: string, outputs: string[]) => void) =>
  inFolder(async (folder) => {
    await writeTargets(join(folder, 'masters'), names);
    await writeTargets(join(folder, 'newer'), names, 5);
    const targets = [{ folder: 'masters', pattern: '{target}-{line}.fits' }];
    const plan = {
      targets,
      recipes: ['hoo', './own.json'],
      into: 'out',
      outputs: ['{target}_{recipe}.tif'],
      sheet: null,
    };
    writeFileSync(join(folder, 'own.json'), '{"name": "own", "channels": ["H"], "matrix": [[1], [1], [1]]}');
    writeFileSync(join(folder, 'plan.json'), JSON.stringify(plan));
    mkdirSync(join(folder, 'out'));
    const ran = spawnSync(process.execPath, [command, 'batch', 'plan.json', '--jobs', '--json'], {
      cwd: folder,
      encoding: 'utf8',
    });
    ok(ran);
    writeFileSync(join(folder, 'jobs.jsonl'), ran.stdout);
    const jobs = ran.stdout
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(jobs).toHaveLength(2 * names.length);
    const [first, own] = jobs.filter(({ target }) => target === names[0]);
    expect(Object.keys(first)).toEqual(['argv', 'inputs', 'output', 'target', 'recipe']);
    expect(first.inputs).toEqual(['H', 'O'].map((line) => join(folder, 'masters', `${names[0]}-${line}.fits`)));
    expect(own.inputs).toEqual([join(folder, 'masters', `${names[0]}-H.fits`), join(folder, 'own.json')]);
    use(
      folder,
      jobs.map(({ output }) => output),
    );
  });

/** Runs the engine: everything first, then nothing, then what another master asks for. */
const runs = (engine: () => string, folder: string, outputs: readonly string[], master: string) => {
  engine();
  for (const output of outputs) expect(existsSync(output), output).toBe(true);
  const times = () => outputs.map((output) => statSync(output).mtimeMs);
  const before = times();
  engine();
  expect(times()).toEqual(before);
  const later = new Date(Date.now() + 1000);
  copyFileSync(join(folder, 'newer', master), join(folder, 'masters', master));
  utimesSync(join(folder, 'masters', master), later, later);
  engine();
  return outputs.filter((_, i) => times()[i] !== before[i]);
};

describe('the page about workflow engines', () => {
  it.runIf(has('make'))('has a Makefile that makes what is out of date (needs make)', () =>
    withJobs(["it's $1 #2"], (folder, outputs) => {
      writeFileSync(join(folder, 'makefile.mjs'), blocks('js')[0]!);
      const made = spawnSync(process.execPath, ['makefile.mjs'], { cwd: folder, encoding: 'utf8' });
      ok(made);
      writeFileSync(join(folder, 'Makefile'), made.stdout);
      const make = () => ok(spawnSync('make', ['--jobs', '2'], { cwd: folder, encoding: 'utf8' }));
      expect(runs(make, folder, outputs, "it's $1 #2-O.fits")).toEqual([
        outputs.find((name) => name.endsWith('_hoo.tif')),
      ]);
    }),
  );

  it.runIf(has('snakemake'))('has a Snakefile that makes what is out of date (needs Snakemake)', () =>
    withJobs(['Rim one'], (folder, outputs) => {
      writeFileSync(join(folder, 'Snakefile'), blocks('python')[0]!);
      const snakemake = () => ok(spawnSync('snakemake', ['--cores', '1'], { cwd: folder, encoding: 'utf8' }));
      expect(runs(snakemake, folder, outputs, 'Rim one-O.fits')).toEqual([join(folder, 'out/Rim one_hoo.tif')]);
    }),
  );
});
