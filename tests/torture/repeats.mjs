// The same bytes in every run: alone, side by side, in parts, interrupted and resumed, by single command lines.
import { spawnSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { clear, faultsIn, planFor, runBatch, startBatch } from './stage.mjs';

const WAYS = [
  (stage, into) => runBatch(stage, into, { words: ['--parallel', '1'] }),
  (stage, into) => runBatch(stage, into, { words: ['--parallel', '2'] }),
  (stage, into) => runBatch(stage, into, { words: ['--parallel', '7', '--memory', '100G'] }),
  async (stage, into) => {
    for (const part of ['2/3', '1/3', '3/3']) await runBatch(stage, into, { words: ['--shard', part] });
    return { code: 0 };
  },
  async (stage, into) => {
    const run = startBatch(stage, into);
    run.child.stdout.once('data', () => run.child.kill('SIGINT'));
    await run.ended;
    return runBatch(stage, into);
  },
  async (stage, into) => {
    await runBatch(stage, into);
    return runBatch(stage, into, { words: ['--force'] });
  },
];

/** `first` chooses the way to begin with. */
export const repeats = async (stage, runs, first = 0) => {
  const faults = [];
  for (let i = first; i < first + runs; i++) {
    const into = 'repeats';
    const { code, err } = await WAYS[i % WAYS.length](stage, into);
    if (code !== 0) faults.push(`run ${i}: exit ${code}: ${err}`);
    faults.push(...faultsIn(stage, into, { complete: true }).map((text) => `run ${i}: ${text}`));
    clear(stage, into);
  }
  return { runs, faults };
};

/** The lines of --jobs through GNU parallel, stopped half-way and resumed from its log. */
export const throughParallel = async (stage) => {
  const into = 'parallel';
  const faults = [];
  const lines = spawnSync(process.execPath, [stage.main, 'batch', planFor(stage, into), '--jobs'], {
    encoding: 'utf8',
  });
  mkdirSync(join(stage.folder, into), { recursive: true });
  const log = join(stage.folder, 'jobs.log');
  const input = lines.stdout.split('\n');
  const go = (text) =>
    spawnSync('parallel', ['--joblog', log, '--resume', '-j', '2'], {
      input: text,
      encoding: 'utf8',
      env: { ...process.env, HOME: stage.folder },
    });
  // The first half, as if the rest had been cut off by a power failure; then the whole list again.
  const first = go(`${input.slice(0, stage.pictures / 2).join('\n')}\n`);
  const second = go(lines.stdout);
  if (first.status !== 0 || second.status !== 0) faults.push(`parallel failed: ${first.stderr} ${second.stderr}`);
  const resumed = second.stdout.split('\n').filter((line) => /^1 made/.test(line)).length;
  if (resumed !== stage.pictures / 2) faults.push(`${resumed} jobs were done after the resume`);
  faults.push(...faultsIn(stage, into, { complete: true }));
  return { jobs: input.filter(Boolean).length, resumed, faults };
};

export const hasParallel = () =>
  spawnSync('parallel', ['--version'], { encoding: 'utf8' }).stdout?.includes('GNU') === true;
