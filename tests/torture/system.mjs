// Cross-checks from outside the process: kills that the kernel delivers at the n-th system call, and a user without
// rights.
import { spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { hashesBelow } from './hashes.mjs';
import { clear, faultsIn, runBatch, statusesOf } from './stage.mjs';

export const hasStrace = () =>
  spawnSync('strace', ['-f', '-e', 'trace=none', 'true'], { stdio: 'ignore' }).status === 0;

/** System calls that a batch makes only on its results. */
const CALLS = ['pwrite64', 'fsync', 'link', 'rename', 'unlink', 'mkdir'];

/** Kills at the n-th of each of these calls, `count` times in all. */
export const killBySystem = async (stage, count) => {
  const faults = [];
  const killed = {};
  for (let i = 0; i < count; i++) {
    const call = CALLS[i % CALLS.length];
    const nth = 1 + (Math.floor(i / CALLS.length) % 5);
    const into = 'traced';
    const wrap = [
      'strace',
      '-f',
      '-qq',
      '-o',
      '/dev/null',
      '-e',
      `trace=${call}`,
      '-e',
      `inject=${call}:signal=KILL:when=${nth}`,
    ];
    // One thread for file-system work, so that its calls are counted together.
    const { signal, code } = await runBatch(stage, into, { wrap, env: { UV_THREADPOOL_SIZE: '1' } });
    if (signal === 'SIGKILL' || code === 137) killed[call] = (killed[call] ?? 0) + 1;
    faults.push(...faultsIn(stage, into));
    const before = Object.keys(hashesBelow(join(stage.folder, into))).length;
    const ran = await runBatch(stage, into);
    const { made, kept } = statusesOf(ran);
    if (ran.code !== 0 || kept !== before || made + kept !== stage.pictures)
      faults.push(`${call} ${nth}: ${before} were there, then ${kept} kept, ${made} made, exit ${ran.code}`);
    faults.push(...faultsIn(stage, into, { complete: true }));
    clear(stage, into);
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
