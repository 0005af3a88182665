// npm run torture [WORD…]: everything a batch, and the page, must survive, in full counts; with words, only trials so named.
import { mkdtempSync, rmSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { canMount, diskFull } from './disk-full.mjs';
import { faultSweep } from './faults.mjs';
import { inLanes, killAtCalls, killAtRandom } from './kills.mjs';
import { pageInFull } from './page.mjs';
import { hasParallel, repeats, throughParallel } from './repeats.mjs';
import { rivals } from './rivals.mjs';
import { growth, memoryOver, throughput } from './scale.mjs';
import { TARGET_NAMES } from './scene.mjs';
import { signals } from './signals.mjs';
import { prepareStage } from './stage.mjs';
import { hasStrace, killBySystem, unprivileged } from './system.mjs';

// Trials count calls and fail them one by one: all runs must make the same.
process.env.LINEWASH_CACHE = 'off';

const folder = mkdtempSync(join(tmpdir(), 'linewash-torture-'));
const size = { width: 60, height: 40 };

const six = await prepareStage(join(folder, 'six'), { size });
const { built: compiledIn } = six;
const one = await prepareStage(join(folder, 'one'), { names: ['Arc'], recipes: ['hoo'], size, compiledIn });
let sixty;
/** 20 targets by 3 recipes. */
const full = async () =>
  (sixty ??= await prepareStage(join(folder, 'sixty'), {
    names: TARGET_NAMES,
    size: { width: 240, height: 160 },
    compiledIn,
  }));

const TRIALS = {
  random: async () =>
    inLanes([killAtRandom(one, 200, 0), killAtRandom(six, 200, 1), killAtRandom(await full(), 100, 2)]),
  calls: () => inLanes([killAtCalls(one, 250, { lane: 0 }), killAtCalls(six, 250, { lane: 1 })]),
  strace: () => (hasStrace() ? killBySystem(six, 500) : 'skipped: strace cannot be used here'),
  signals: () => signals(six, 100),
  full: () => (canMount(six) ? diskFull(six, 200) : 'skipped: mounting a small disk is not allowed here'),
  faults: () => faultSweep(one, 1),
  rights: () => unprivileged(six),
  rivals: async () => {
    const [small, large] = [await rivals(six, 90), await rivals(await full(), 10)];
    const faults = [...small.faults, ...large.faults];
    return { trials: small.trials + large.trials, shared: small.shared + large.shared, faults };
  },
  repeats: async () => repeats(await full(), 20),
  parallel: async () => (hasParallel() ? throughParallel(await full()) : 'skipped: there is no GNU parallel here'),
  memory: async () => {
    const measured = await memoryOver(await full(), 10);
    const grown = growth({ after: measured.after.slice(-8) });
    return {
      jobs: measured.jobs,
      MiB: measured.after.map(Math.round),
      faults: grown > 8 ? [`grew by ${grown} MiB`] : [],
    };
  },
  page: async () => pageInFull(folder),
  speed: async () => {
    const large = { width: 1200, height: 800, oneNebula: true };
    const stage = await prepareStage(join(folder, 'large'), { names: TARGET_NAMES, size: large, compiledIn });
    const [small, whole] = [await throughput(await full()), await throughput(stage)];
    const load = loadavg()[0].toFixed(1);
    return { small, large: whole, load, faults: whole.ratio < 0.9 ? [`ratio ${whole.ratio}`] : [] };
  },
};

const words = process.argv.slice(2);
let bad = 0;
for (const [name, trial] of Object.entries(TRIALS)) {
  if (words.length > 0 && !words.some((word) => name.startsWith(word))) continue;
  const began = performance.now();
  const found = await trial();
  const seconds = Math.round((performance.now() - began) / 1000);
  if (typeof found === 'string') console.log(`${name}: ${found}`);
  else {
    const { faults, ...rest } = found;
    bad += faults.length;
    console.log(
      `${name}: ${faults.length === 0 ? 'good' : `${faults.length} FAULTS`} ${JSON.stringify(rest)} in ${seconds} s`,
    );
    for (const fault of faults.slice(0, 20)) console.log(`  ${fault}`);
  }
}
rmSync(folder, { recursive: true, force: true });
process.exit(bad === 0 ? 0 : 1);
