// SIGINT and SIGTERM in the middle of a batch: exit 130 and 143, nothing torn, no orphan at once, and the next run
// goes on where it stopped.
import { clear, faultsIn, runAlone, startBatch, statusesOf } from './stage.mjs';

const CODES = { SIGINT: 130, SIGTERM: 143 };

/** Trials until so many have stopped a batch on its way: on a busy machine some signals come when all is made. */
export const signals = async (stage, wanted) => {
  const faults = [];
  let stopped = 0;
  let trials = 0;
  for (; stopped < wanted && trials < 10 * wanted; trials++) {
    const i = trials;
    const name = i % 2 === 0 ? 'SIGINT' : 'SIGTERM';
    const into = 'signals';
    // By turns alone and with threads.
    const run = startBatch(stage, into, { words: ['--parallel', String(1 + ((i >> 1) % 2))] });
    // After the first picture, or some time later.
    await new Promise((resolve) => {
      run.child.stdout.once('data', () => setTimeout(resolve, (i % 8) * 15));
      run.ended.then(resolve);
    });
    run.child.kill(name);
    const ran = await run.ended;
    const before = statusesOf(ran);
    if (ran.code === CODES[name]) stopped++;
    // A signal that comes when all is made, while Node itself is ending, ends it without a code.
    else if ((ran.code !== 0 && ran.code !== null) || before.made !== stage.pictures)
      faults.push(`${name}: exit ${ran.code}: ${ran.err}`);
    faults.push(...faultsIn(stage, into, { orphans: true }));
    const { made, kept } = statusesOf(await runAlone(stage, into));
    // The summary comes last: where time ran out before it, a picture may be there that no line tells of.
    const summed = ran.out.includes('"left":');
    if ((summed ? kept !== before.made : kept < before.made) || made + kept !== stage.pictures)
      faults.push(`${name}: ${before.made} made before, ${kept} kept and ${made} made after`);
    faults.push(...faultsIn(stage, into, { complete: true }));
    clear(stage, into);
  }
  return { trials, stopped, faults };
};
