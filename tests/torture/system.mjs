// Cross-checks from outside the process: kills that the kernel delivers at the n-th system call, and a user without
// rights.
import { spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { finish } from './kills.mjs';
import { clear, faultsIn, runBatch, statusesOf } from './stage.mjs';

export const hasStrace = () =>
  spawnSync('strace', ['-f', '-e', 'trace=none', 'true'], { stdio: 'ignore' }).status === 0;

/** System calls that a batch makes on its results; new pictures are linked to their names, old ones replaced by rename. */
const CALLS = ['openat', 'pwrite64', 'fsync', 'link', 'rename', 'unlink', 'mkdir'];

/** Node opens files of its own, and our modules, before it opens any of the batch. */
const FIRST = { openat: 26 };

const killAt = (stage, into, call, nth, words) => {
  const inject = `inject=${call}:signal=KILL:when=${nth}`;
  const wrap = ['strace', '-f', '-qq', '-o', '/dev/null', '-e', `trace=${call}`, '-e', inject];
  // One thread for file-system work, so that its calls are counted together.
  return runBatch(stage, into, { wrap, words, env: { UV_THREADPOOL_SIZE: '1' } });
};

/**
 * `count` kills at the n-th of each of these calls, n = 1, 2 … until a run gets to its end; every other time over
 * pictures that are there and are made anew.
 */
export const killBySystem = async (stage, count) => {
  const faults = [];
  const killed = {};
  const into = 'traced';
  let all = 0;
  for (let replacing = false; all < count; replacing = !replacing) {
    const before = all;
    for (const call of CALLS)
      for (let nth = FIRST[call] ?? 1; all < count; nth++) {
        if (replacing) await runBatch(stage, into);
        const { signal, code } = await killAt(stage, into, call, nth, replacing ? ['--force'] : []);
        faults.push(...faultsIn(stage, into, { complete: replacing, orphans: false }));
        await finish(stage, into, faults);
        if (signal !== 'SIGKILL' && code !== 137) break;
        killed[call] = (killed[call] ?? 0) + 1;
        all++;
      }
    if (all === before) throw new Error('nothing is killed');
  }
  return { killed, faults };
};

/** Folders and masters without rights, as a user that has none: each picture is named with its reason. */
export const unprivileged = async (stage) => {
  if (process.getuid?.() !== 0 || spawnSync('setpriv', ['--version']).status !== 0)
    return 'skipped: needs root and setpriv';
  const faults = [];
  const into = 'rights';
  const folder = join(stage.folder, into);
  const wrap = ['setpriv', '--reuid=65534', '--regid=65534', '--clear-groups'];
  for (const closed of [stage.folder, dirname(stage.folder)]) chmodSync(closed, 0o755);
  mkdirSync(folder);
  chmodSync(folder, 0o755);
  const refused = await runBatch(stage, into, { wrap });
  if (refused.code !== 1 || statusesOf(refused).failed !== stage.pictures || !/permission denied/.test(refused.out))
    faults.push(`a folder without rights: exit ${refused.code} ${refused.out}${refused.err}`);
  chmodSync(folder, 0o777);
  const master = join(stage.masters, 'Arc-O.fits');
  chmodSync(master, 0);
  const partly = await runBatch(stage, into, { wrap });
  const { made, failed } = statusesOf(partly);
  if (partly.code !== 1 || failed !== stage.recipes.length || made !== stage.pictures - failed)
    faults.push(`a master without rights: exit ${partly.code}, ${made} made ${partly.out}`);
  faults.push(...faultsIn(stage, into, { orphans: true }));
  chmodSync(master, 0o644);
  clear(stage, into);
  return { refused: stage.pictures, partly: failed, faults };
};
