// kill -9 at random moments and at the n-th file-system call: no torn picture, no orphan after the next run, the same
// hashes in the end, nothing done twice.
import { statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { hashesBelow } from './hashes.mjs';
import { clear, faultsIn, runAlone, runBatch, startBatch, statusesOf } from './stage.mjs';

const FAULTY = fileURLToPath(new URL('./faulty-fs.mjs', import.meta.url));
const wait = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/** Finished pictures by name with their inodes: a picture made again would have another. */
const inodes = (stage, into) =>
  new Map(
    Object.keys(hashesBelow(join(stage.folder, into))).map((name) => [
      name,
      statSync(join(stage.folder, into, name)).ino,
    ]),
  );

/** A run to the end after one or more kills: what was there stays, the rest is made, nothing else lies about. */
export const finish = async (stage, into, faults) => {
  const before = inodes(stage, into);
  const ran = await runAlone(stage, into);
  const { made, kept } = statusesOf(ran);
  if (ran.code !== 0) faults.push(`${into}: the next run ended with ${ran.code}: ${ran.err}`);
  if (kept !== before.size || made !== stage.pictures - before.size)
    faults.push(`${into}: ${before.size} were there, ${kept} kept, ${made} made`);
  const after = inodes(stage, into);
  for (const [name, inode] of before) if (after.get(name) !== inode) faults.push(`${into}/${name} was made twice`);
  faults.push(...faultsIn(stage, into, { complete: true }));
  clear(stage, into);
};

/** Kills at random moments, run after run over one folder, until it is complete; then from the beginning. */
export const killAtRandom = async (stage, count, lane = 0, seed = 1) => {
  const faults = [];
  const into = `random-${lane}`;
  // Linear congruential, constants of the C standard's example.
  let state = seed + lane;
  const random = () => {
    state = (state * 1103515245 + 12345) % 2147483648;
    return state / 2147483648;
  };
  // From start-up to a little past the usual end.
  const began = performance.now();
  // Every other lane with threads.
  const words = ['--parallel', String(1 + (lane % 2))];
  await runBatch(stage, into, { words });
  let usual = performance.now() - began;
  clear(stage, into);
  let killed = 0;
  for (let sinceFinish = 0; killed < count; ) {
    const started = performance.now();
    const run = startBatch(stage, into, { words });
    await Promise.race([run.ended, wait(usual * (0.2 + 0.85 * random()))]);
    run.child.kill('SIGKILL');
    const { signal } = await run.ended;
    if (signal === 'SIGKILL') killed++;
    // A machine that is less busy than at first would be done before any kill.
    else if (sinceFinish === 0) usual = performance.now() - started;
    faults.push(...faultsIn(stage, into));
    if (signal !== 'SIGKILL' || ++sinceFinish >= 6) {
      await finish(stage, into, faults);
      sinceFinish = 0;
    }
  }
  await finish(stage, into, faults);
  return { killed, faults };
};

/**
 * Kills at the n-th call on the results' folder, n = start, start + step … until a run gets to its end, then from the
 * start again; every other time over pictures that are there and are made anew.
 */
export const killAtCalls = async (stage, count, { lane = 0, start = 1, step = 1 } = {}) => {
  const faults = [];
  const into = `call-${lane}`;
  const node = ['--import', FAULTY];
  let killed = 0;
  let replacing = false;
  for (let nth = start; killed < count; nth += step) {
    if (replacing) await runAlone(stage, into);
    const env = { LINEWASH_FAULT: `KILL@${nth}`, LINEWASH_FAULT_UNDER: join(stage.folder, into) };
    const words = ['--parallel', '1', ...(replacing ? ['--force'] : [])];
    const { signal } = await runBatch(stage, into, { node, env, words });
    faults.push(...faultsIn(stage, into, { complete: replacing, orphans: false }));
    await finish(stage, into, faults);
    if (signal === 'SIGKILL') killed++;
    else {
      if (nth === start) throw new Error('nothing is killed');
      replacing = !replacing;
      nth = start - step;
    }
  }
  return { killed, faults };
};

/** Runs lanes side by side and adds up what they found. */
export const inLanes = async (lanes) => {
  const results = await Promise.all(lanes);
  return {
    killed: results.reduce((sum, { killed }) => sum + killed, 0),
    faults: results.flatMap(({ faults }) => faults),
  };
};
