// Memory over many jobs, and the speed of a batch beside the same mixes one after the other in one process.
import { spawnSync } from 'node:child_process';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { planOver } from './scene.mjs';
import { clear, planFor, runBatch } from './stage.mjs';

/** Resident memory in MiB after a collection, where Node lets us ask for one. */
const resident = () => {
  globalThis.gc?.();
  return process.memoryUsage.rss() / 2 ** 20;
};

/** Resident memory after each of `rounds` forced batches over the same folder, in MiB, in one process and one thread. */
export const memoryOver = async (stage, rounds) => {
  const { batchFiles } = await stage.compiled('index.js');
  const into = join(stage.folder, 'memory');
  const plan = planOver(stage.masters, into, { recipes: stage.recipes });
  const after = [];
  for (let i = 0; i < rounds; i++) {
    const { made } = await batchFiles({ plan, force: true, parallel: 1 });
    if (made !== stage.pictures) throw new Error(`only ${made} pictures were made`);
    after.push(resident());
  }
  rmSync(into, { recursive: true, force: true });
  return { jobs: rounds * stage.pictures, after };
};

/** Growth in MiB from the mean of the second quarter of rounds to that of the last. */
export const growth = ({ after }) => {
  const mean = (values) => values.reduce((a, b) => a + b, 0) / values.length;
  const quarter = Math.floor(after.length / 4);
  return mean(after.slice(-quarter)) - mean(after.slice(quarter, 2 * quarter));
};

/** A script that does the mixes of a plan one after the other in one process, each with all processors. */
const ONE_BY_ONE = `
const [index, plan] = process.argv.slice(1);
const { mkdirSync } = await import('node:fs');
const { dirname } = await import('node:path');
const { planBatch, mixFiles } = await import(index);
const { jobs } = await planBatch({ plan });
let sum = 0;
for (const { written, inputs, output, sample } of jobs.flatMap(({ pictures }) => pictures)) {
  mkdirSync(dirname(output), { recursive: true });
  const began = performance.now();
  await mixFiles({ recipe: written, inputs, output, sample });
  sum += performance.now() - began;
}
console.log(sum / 1000);`;

const seconds = async (work) => {
  const began = performance.now();
  const result = await work();
  return [(performance.now() - began) / 1000, result];
};

/** One after the other, then as a batch; seconds. */
const compareOnce = async (stage) => {
  const words = ['--input-type=module', '-e', ONE_BY_ONE, join(stage.built, 'index.js'), planFor(stage, 'single')];
  const [single, ran] = await seconds(() => spawnSync(process.execPath, words, { encoding: 'utf8' }));
  const [batch, { code }] = await seconds(() => runBatch(stage, 'whole'));
  if (ran.status !== 0 || code !== 0) throw new Error(`a run failed: ${ran.stderr}`);
  for (const into of ['single', 'whole']) clear(stage, into);
  return { sum: Number(ran.stdout), single, batch };
};

const middle = (values) => values.toSorted((a, b) => a - b)[values.length >> 1];

/**
 * Medians over rounds, by turns, in seconds: the sum of the mixes' times in one process, that whole process, and a batch
 * as a process. Others on the machine disturb both; the load that they make is given.
 */
export const throughput = async (stage, rounds = 5) => {
  const runs = [];
  for (let i = 0; i < rounds; i++) runs.push(await compareOnce(stage));
  const of = (name) => Number(middle(runs.map((run) => run[name])).toFixed(2));
  const ratios = runs.map(({ sum, batch }) => Number((sum / batch).toFixed(2)));
  return {
    jobs: stage.pictures,
    sum: of('sum'),
    single: of('single'),
    batch: of('batch'),
    ratio: middle(ratios),
    ratios,
  };
};
