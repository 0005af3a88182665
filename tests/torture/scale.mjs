// Memory over many jobs, and the speed of a batch beside the same mixes one after the other in one process.
import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { planOver } from './scene.mjs';

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

/**
 * Seconds of the single mixes one after the other with all processors each, of the same with one thread each, and of
 * the batch.
 */
export const throughput = async (stage) => {
  const { batchFiles, planBatch, mixFiles } = await stage.compiled('index.js');
  const timed = async (work) => {
    const began = performance.now();
    await work();
    return (performance.now() - began) / 1000;
  };
  const plan = (into) => planOver(stage.masters, join(stage.folder, into), { recipes: stage.recipes });
  const single = (into, threads) => async () => {
    const { jobs } = await planBatch({ plan: plan(into) });
    for (const { written, inputs, output, sample } of jobs.flatMap(({ pictures }) => pictures)) {
      mkdirSync(join(output, '..'), { recursive: true });
      await mixFiles({ recipe: written, inputs, output, sample, threads });
    }
  };
  const together = await timed(single('single', undefined));
  const alone = await timed(single('alone', 1));
  const batch = await timed(async () => {
    const { failed, made } = await batchFiles({ plan: plan('whole') });
    if (failed > 0 || made !== stage.pictures) throw new Error('the batch failed');
  });
  for (const into of ['single', 'alone', 'whole']) rmSync(join(stage.folder, into), { recursive: true, force: true });
  return { together, alone, batch };
};
