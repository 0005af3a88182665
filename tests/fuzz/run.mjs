// npm run fuzz [-- COUNT [TARGET]]: throws mutated inputs at every reader of bytes; only LinewashError may come out.
// Each batch runs in a child process, so that even the death of a process is reported with its seed.
import { fork } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { moduleLoader, root } from '../tools/modules.mjs';

const here = fileURLToPath(import.meta.url);
const BATCH = 20_000;
/** One input must not take longer than this, in milliseconds. */
const SLOWEST = 1000;

const loadTargets = async () => {
  const modules = await moduleLoader();
  const targets = [];
  for (const file of readdirSync(`${root}/tests/fuzz`)
    .filter((name) => name.endsWith('.ts') && !name.endsWith('.test.ts'))
    .sort())
    for (const value of Object.values(await modules.load(`/tests/fuzz/${file}`)))
      if (Array.isArray(value)) targets.push(...value.filter((t) => typeof t?.run === 'function'));
  const { mutate, seededRandom } = await modules.load('/tests/fuzz/mutate.ts');
  return { modules, targets, mutate, seededRandom };
};

/** In the child: `count` inputs from `seed` on. The seed of the input at hand is always known to the parent. */
const work = async ({ name, seed, count }) => {
  const { modules, targets, mutate, seededRandom } = await loadTargets();
  const target = targets.find((t) => t.name === name);
  for (let i = 0; i < count; i++) {
    const random = seededRandom(seed + i);
    // The first draws of neighbouring seeds are neighbours: of small ones all would choose the same input to change.
    random();
    const input = mutate(target.seeds[Math.floor(random() * target.seeds.length)], random);
    if (i % 500 === 0) process.send({ at: seed + i });
    const start = performance.now();
    try {
      await target.run(input);
    } catch (cause) {
      process.send({ fault: seed + i, text: String(cause?.stack ?? cause) });
    }
    const took = performance.now() - start;
    if (took > SLOWEST) process.send({ fault: seed + i, text: `took ${Math.round(took)} ms` });
  }
  await modules.close();
};

const runBatch = (job) =>
  new Promise((resolve) => {
    const faults = [];
    let at = job.seed;
    const child = fork(here, ['--child'], { cwd: root });
    child.on('message', (message) => {
      if (message.fault === undefined) at = message.at;
      else faults.push(`seed ${message.fault}: ${message.text}`);
    });
    child.on('exit', (code, signal) => {
      if (code !== 0) faults.push(`the process ended (${signal ?? code}) at or within 500 after seed ${at}`);
      resolve(faults);
    });
    child.send(job);
  });

const main = async () => {
  const count = Number(process.argv[2] ?? 100_000);
  const only = process.argv[3];
  const { modules, targets } = await loadTargets();
  await modules.close();
  const names = targets.map((t) => t.name).filter((name) => only === undefined || name.includes(only));
  let failed = 0;
  for (const name of names) {
    const start = performance.now();
    const faults = [];
    for (let seed = 1; seed <= count; seed += BATCH)
      faults.push(...(await runBatch({ name, seed, count: Math.min(BATCH, count - seed + 1) })));
    const seconds = ((performance.now() - start) / 1000).toFixed(1);
    console.log(`${name}: ${count} inputs in ${seconds} s, ${faults.length} faults`);
    for (const fault of faults.slice(0, 5)) console.log(`  ${fault}`);
    failed += faults.length;
  }
  process.exit(failed === 0 && names.length > 0 ? 0 : 1);
};

if (process.argv[2] === '--child') process.once('message', (job) => work(job).then(() => process.exit(0)));
else await main();
